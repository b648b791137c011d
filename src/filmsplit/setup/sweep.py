"""The sweep that brings the keys to mid-range, the keys for it, and a settled print that proves both."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.setup.keys import KeyAsk, KeyPlan, films_per_opening, fit_keys, printing
from filmsplit.setup.limits import KeyLimits
from filmsplit.setup.not_reached import problems_of
from filmsplit.setup.sweep_range import SweepRange
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution

MOST_ROUNDS = 4
"""Settings are settled and put right so often at most; two rounds did on every demo press."""

AGREED = 0.2
"""A forecast within this part of what counts as reached is not put right any more."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """Aim film by zone (um), film of each fully open key (um), and the limits of the keys."""

    aim_um: Array
    full_um: Array
    limits: KeyLimits

    def films_um(self, openings: Array) -> Array:
        """Film on the fountain roller in each zone for openings in parts of the range."""
        return np.asarray(films_per_opening(self.full_um, coupling=self.limits.coupling) @ openings)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SweepPlan:
    """The settings, and the settled print they make. ``sweep_mm`` is ``None`` where the feed has no sweep.

    ``response`` is the one the keys were last fitted with; ``forecast_off`` is the largest part by which the print
    then still differed from the fit's forecast; ``solution`` is of these very settings. ``problems`` say what cannot
    be reached.
    """

    sweep_mm: float | None
    keys: KeyPlan
    response: Array
    forecast_off: float
    solution: Solution
    problems: tuple[Problem, ...]


def plan_sweep(
    response: SweepResponse, wanted: Wanted, *, sweeps: SweepRange | None, accuracy: float = ACCURACY
) -> SweepPlan:
    """Choose the sweep by forecast, then settle and refit until forecast and print agree.

    ``sweeps=None``: the feed has no sweep, or it stays as it is. :class:`NotSettledError` where a print did not settle.
    """
    sweep_mm = None if sweeps is None else _best(response, wanted, sweeps=sweeps)
    zoned = response.zoned.swept(sweep_mm)
    matrix = response.at(sweep_mm)
    rounds = 0
    while True:
        keys = fit_keys(_ask(response, wanted, matrix=matrix))
        solution = settle(zoned.train, zoned.keyed(keys.films_um), accuracy=accuracy, throw=True)
        prints = zoned.prints_um(solution)
        ratio = np.divide(prints, keys.prints_um, out=np.ones(prints.shape), where=(keys.prints_um > 0) & (prints > 0))
        off, rounds = float(np.abs(ratio - 1.0).max(initial=0.0)), rounds + 1
        if off <= AGREED * wanted.limits.reached or rounds == MOST_ROUNDS:
            break
        matrix = ratio[:, None] * matrix
    keys = printing(keys, prints, wanted.limits)
    reading = None if sweeps is None or sweep_mm is None else sweeps.reading_of(sweep_mm)
    return SweepPlan(
        sweep_mm=sweep_mm,
        keys=keys,
        response=matrix,
        forecast_off=off,
        solution=solution,
        problems=tuple(problems_of(keys, wanted.limits, reading=reading)),
    )


def _ask(response: SweepResponse, wanted: Wanted, *, matrix: Array) -> KeyAsk:
    return KeyAsk(
        response=matrix,
        aim_um=wanted.aim_um,
        weights=response.zoned.image_mm2,
        full_um=wanted.full_um,
        limits=wanted.limits,
    )


def _best(response: SweepResponse, wanted: Wanted, *, sweeps: SweepRange) -> float:
    """The sweep with the mean key in its range, then the least image off its aim, then nearest to mid-range."""

    def badness(sweep_mm: float) -> tuple[float, float, float]:
        ask = _ask(response, wanted, matrix=response.at(sweep_mm))
        plan = fit_keys(ask)
        mean, limits = plan.mean_open, wanted.limits
        outside = max(0.0, limits.mean_lowest - mean, mean - limits.mean_highest)
        unreached = sum(ask.weights[key.zone - 1] for key in plan.unreached) / max(float(ask.weights.sum()), 1e-300)
        return round(outside, 6), round(unreached, 3), abs(mean - limits.mean_middle)

    return min(sweeps.sweeps_mm, key=badness)
