"""Forecasts held against what came: coverage of the intervals, and their width beside those of one told the truth."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from condition.ageing_shops import HABITS, LIMIT, shop
from condition.told_true import told_interval
from filmsplit.condition.forecast import STEP_DAYS, crossing
from filmsplit.condition.lives import hardness_lives
from filmsplit.condition.trend import fit_trend
from filmsplit.condition.trend_terms import HARDNESS_HABITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """How intervals of one kind of shop did. Widths in days; ``told`` is the forecaster that was told the truth."""

    covers: int
    coverage: float
    below: float
    told_coverage: float
    width: float
    told_width: float
    settled: float

    @property
    def ratio(self) -> float:
        return self.width / self.told_width


def back_test(name: str, *, shops: int, first_seed: int = 0) -> Score:
    """All covers of so many shops of one kind, whether they have crossed or not."""
    rows, told, settled = [], [], []
    for seed in range(first_seed, first_seed + shops):
        made = shop(HABITS[name], seed)
        trend = fit_trend(hardness_lives(made.histories), HARDNESS_HABITS)
        settled.append(trend.settled)
        for roller in made.histories:
            truth = made.truths[roller.id]
            found = crossing(trend, roller.id, limit=LIMIT, today=made.today)
            low, high = (
                math.inf if day is None else float((day - truth.began).days) for day in (found.low, found.high)
            )
            rows.append((low, high, truth.crosses))
            told_low, _, told_high = told_interval(made, roller)
            told.append((told_low, told_high, truth.crosses))
    ours, theirs = np.array(rows), np.array(told)
    return Score(
        covers=len(rows),
        coverage=_held(ours),
        below=float(np.mean(ours[:, 2] < ours[:, 0])),
        told_coverage=_held(theirs),
        width=_width(ours),
        told_width=_width(theirs),
        settled=float(np.mean(settled)),
    )


def _held(rows: np.ndarray) -> float:
    """Part of intervals that hold the truth. Days are told to the week, and so is a step that crosses in one day."""
    return float(np.mean((rows[:, 0] - STEP_DAYS <= rows[:, 2]) & (rows[:, 2] <= rows[:, 1] + STEP_DAYS)))


def _width(rows: np.ndarray) -> float:
    """Median width; an interval open at the top is wider than any other."""
    with np.errstate(invalid="ignore"):
        widths = np.where(np.isinf(rows[:, 1]), math.inf, rows[:, 1] - rows[:, 0])
    return float(np.median(widths))
