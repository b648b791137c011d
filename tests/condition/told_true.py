"""A forecaster that was told everything about a shop except what its covers drew: the yardstick of the back-test.

It knows how fast each compound ages and how far covers differ, the shape of the curve, the wash, every reader's bias,
what warmth does and how errors fall. What it does not know of a cover (start, rate, step) it finds on a grid by Bayes'
rule.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.stats import norm, t

from condition.ageing_shops import LIMIT, YEAR, Habits, Shop, rise, warmth
from filmsplit.condition.readings import RollerHistory

STARTS, RATES, STEPS = 61, 121, 7
MEDIAN_OF_FIVE = 1.2 * 0.536
"""Deviation of the median of five normal values: 0.536 of one (order statistics, any table)."""


def told_interval(shop: Shop, roller: RollerHistory) -> tuple[float, float, float]:
    """Days after the cover began by which it has crossed in 10, 50 and 90 % of cases."""
    habits = shop.habits
    assert roller.drawing.compound is not None
    assert roller.drawing.hardness_shore_a is not None
    began = max(event.on for event in roller.events if event.kind.begins_a_cover)
    readings = [each for each in roller.hardness if each.on >= began]
    days = np.array([(each.on - began).days for each in readings])
    read = np.array([each.median_shore_a - shop.biases[each.reader] for each in readings])
    known = np.array([each.temperature_c is not None for each in readings])
    warm = [0.0 if each.temperature_c is None else warmth(each.temperature_c - 23.0, habits) for each in readings]
    spread_k = np.hypot(habits.swing_k / math.sqrt(2), 1.0)
    sigma = np.where(known, 0.0, abs(habits.per_k) * spread_k)
    first = float(np.median(read[:3]))
    wide = max(3.0, 1.5 * habits.noise)
    starts = np.linspace(first - wide, first + wide, STARTS)
    rates = shop.rates[roller.drawing.compound] * np.exp(np.linspace(-3.2, 3.2, RATES) * habits.rate_spread)
    steps = habits.wash_step + np.linspace(-2.4, 2.4, STEPS) * habits.wash_step_spread
    steps = steps if shop.washed_anew is not None and shop.washed_anew > began else steps[:1]
    logs, crossings = [], []
    prior_start = norm.logpdf(starts, roller.drawing.hardness_shore_a, 2.0)
    for rate, z in zip(rates, np.linspace(-3.2, 3.2, RATES), strict=True):
        for step in steps:
            course = rise(days, float(rate), float(step), shop=shop, began=began)
            off = read[None, :] - np.array(warm)[None, :] - course[None, :] - starts[:, None]
            fit = _log_density(off, habits, extra=sigma).sum(axis=1)
            unlikely = -0.5 * z**2
            if steps.size > 1:
                unlikely += -0.5 * ((step - habits.wash_step) / habits.wash_step_spread) ** 2
            logs.append(np.logaddexp.reduce(fit + prior_start) + unlikely)
            crossings.append(_crossing(float(rate), float(step), shop=shop, began=began))
    weights = np.exp(np.array(logs) - max(logs))
    order = np.argsort(crossings)
    # The middle of each node's share: a node stands for the rates to both sides of it.
    shares = (np.cumsum(weights[order]) - weights[order] / 2) / weights.sum()
    sorted_days = np.array(crossings)[order]
    found = [float(np.interp(part, shares, sorted_days)) for part in (0.1, 0.5, 0.9)]
    return found[0], found[1], found[2]


def _log_density(off: np.ndarray, habits: Habits, *, extra: np.ndarray) -> np.ndarray:
    scale = np.hypot(habits.noise, extra) if math.isinf(habits.tails) else np.hypot(habits.noise, extra / 1.2)
    wide = np.hypot(scale, MEDIAN_OF_FIVE)
    plain = norm.logpdf(off, 0, wide) if math.isinf(habits.tails) else t.logpdf(off / wide, habits.tails) - np.log(wide)
    if habits.blunders == 0:
        return np.asarray(plain)
    blunder = np.logaddexp(norm.logpdf(off, 6.0, wide), norm.logpdf(off, -6.0, wide)) - math.log(2)
    return np.asarray(np.logaddexp(plain + math.log(1 - habits.blunders), blunder + math.log(habits.blunders)))


_DAYS = np.arange(0, int(60 * YEAR), 7)


def _crossing(rate: float, step: float, *, shop: Shop, began: object) -> float:
    rises = rise(_DAYS, rate, step, shop=shop, began=began)  # type: ignore[arg-type]
    over = np.flatnonzero(rises >= LIMIT)
    return float(_DAYS[over[0]]) if over.size else 1e6
