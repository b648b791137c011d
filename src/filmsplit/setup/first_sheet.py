"""How far the first sheets may be off, zone by zone: what is unsure of the keys, and of the press."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.settings import Settings
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.bands import Uncertainty
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution

COVERAGE = 0.8
"""Part of zones that the band is meant to hold, unless the caller says otherwise."""

DOUBTS = (
    Uncertainty(
        parameter=Parameter(kind=ParameterKind.SPLIT),
        sigma=0.05,
        source="invented default: films are measured to split evenly within 15 % of their ratio, and the nips of one "
        "press share ink and covers, so that all may be off together",
    ),
    Uncertainty(
        parameter=Parameter(kind=ParameterKind.TRANSFER),
        sigma=0.05,
        source="common practice: the sheet takes about half, 0.4 uncoated to 0.6 coated",
    ),
)
"""What may be off for the whole press, one standard deviation each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One standard deviation of what is unsure, before anything was logged.

    ``gain`` is the part by which a key's film per division may be off by itself (20 % to either side is common
    practice; over the root of 3 that is 0.12), ``zero_divisions`` how far its zero may lie from where it is read
    (invented default). ``press_low`` and ``press_high`` are the parts by which the whole print may be lower or
    higher.
    """

    gain: float = 0.12
    zero_divisions: float = 0.5
    press_low: float = 0.2
    press_high: float = 0.1

    @property
    def press(self) -> float:
        """The mean of both sides, where one number has to do."""
        return (self.press_low + self.press_high) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FirstSheet:
    """Film by zone once the press has settled, and the band about it."""

    print_um: Array
    low_um: Array
    high_um: Array
    coverage: float


def press_sides(
    zoned: ZonedTrain, films_um: Array, *, solution: Solution, doubts: Sequence[Uncertainty] = DOUBTS
) -> tuple[float, float]:
    """Parts by which the print may be lower and higher: settled once to each side of each doubt, added as squares.

    Two solves each, and not a slope: the print falls much farther on one side than it rises on the other.
    :class:`NotSettledError` where one does not settle.
    """
    assert solution.answers is not None
    asked = Asked(train=zoned.train, demand=zoned.keyed(films_um))
    low = high = 0.0
    for doubt in doubts:
        ends = [_change(asked, doubt.parameter, by=by, solution=solution) for by in (-doubt.sigma, doubt.sigma)]
        low, high = low + min(0.0, *ends) ** 2, high + max(0.0, *ends) ** 2
    return float(np.sqrt(low)), float(np.sqrt(high))


def _change(asked: Asked, parameter: Parameter, *, by: float, solution: Solution) -> float:
    """Part by which the settled print changes with a parameter."""
    other = moved(asked, parameter, by=by)
    found = settle(other.train, other.demand, accuracy=ACCURACY, start=solution.state, throw=True)
    assert found.answers is not None
    assert solution.answers is not None
    return found.answers.sheet_mean_um / solution.answers.sheet_mean_um - 1.0


def first_sheet(settings: Settings, spread: Spread, *, coverage: float = COVERAGE) -> FirstSheet:
    """The band of the print with the keys as they are read: independent, normal errors, added as squares."""
    scale, openings = settings.scale, np.array([each.opening for each in settings.readings])
    per_opening = settings.plan.response @ films_per_opening(scale.full_um, coupling=settings.limits.coupling)
    zero = np.where(openings > 0, spread.zero_divisions / scale.ranges, 0.0)
    keys = (per_opening**2) @ ((openings * spread.gain) ** 2 + zero**2)
    print_um = settings.set_prints_um
    far = NormalDist().inv_cdf(0.5 + coverage / 2)
    low, high = (np.sqrt(keys + (part * print_um) ** 2) for part in (spread.press_low, spread.press_high))
    return FirstSheet(
        print_um=print_um,
        low_um=np.maximum(print_um - far * low, 0.0),
        high_um=print_um + far * high,
        coverage=coverage,
    )
