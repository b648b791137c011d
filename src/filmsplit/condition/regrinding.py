"""To what diameters form rollers are ground: away from whole ratios to the plate and to each other.

A form roller brings back at its next turn what the plate took from it. Where its circumference goes into the plate's a
whole number of times, or two form rollers repeat at one distance, those ghosts fall on each other. What counts is by
how many mm they miss each other, so the plan is the set of diameters whose smallest miss is largest.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

LEAST_CUT_MM = 0.2
"""Taken off the diameter by the lightest cut that trues a face (common practice)."""

STEP_MM = 0.05
MOST_SETS = 60_000


@dataclass(frozen=True, slots=True, kw_only=True)
class FormToGrind:
    """A form roller as it is, and the least diameter its cover and its adjusters allow."""

    roller: str
    diameter_mm: float
    least_mm: float
    must: bool = False
    """Whether it has to be ground anyway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GrindPlan:
    """Diameters by roller, the smallest miss (mm at the surface) before and after, and between which two it is.

    ``step_mm`` is the step of the search. A roller whose diameter is unchanged is not ground.
    """

    diameters_mm: dict[str, float]
    miss_before_mm: float
    miss_mm: float
    nearest: tuple[str, str]
    step_mm: float


PLATE = "plate"

ENOUGH_MM = 10.0
"""Repeats that miss each other by this much are far enough apart: nothing is ground for more (invented default)."""


def miss_mm(a_mm: float, b_mm: float) -> float:
    """By how much a whole number of turns of the smaller misses one turn of the larger, at the surface. Diameters."""
    larger, smaller = max(a_mm, b_mm), min(a_mm, b_mm)
    return math.pi * abs(larger - round(larger / smaller) * smaller)


def grind_plan(forms: Sequence[FormToGrind], *, plate_mm: float) -> GrindPlan:
    """The set with the largest smallest miss, up to ``ENOUGH_MM``; of equal ones that which takes least off.

    ``ValueError`` without rollers, or where one must be ground and cannot be.
    """
    if not forms:
        raise ValueError("needs at least one form roller")
    step = STEP_MM
    choices = [_choices(form, step) for form in forms]
    while math.prod(map(len, choices)) > MOST_SETS:
        step *= 2
        choices = [_choices(form, step) for form in forms]
    names = [form.roller for form in forms]
    now = [form.diameter_mm for form in forms]
    best = max(product(*choices), key=lambda each: (min(round(_worst(each, plate_mm)[0], 6), ENOUGH_MM), sum(each)))
    miss, pair = _worst(best, plate_mm)
    return GrindPlan(
        diameters_mm=dict(zip(names, best, strict=True)),
        miss_before_mm=_worst(now, plate_mm)[0],
        miss_mm=miss,
        nearest=(names[pair[0]], PLATE if pair[1] < 0 else names[pair[1]]),
        step_mm=step,
    )


def _choices(form: FormToGrind, step: float) -> list[float]:
    """As it is, and every diameter it can be ground to."""
    highest = form.diameter_mm - LEAST_CUT_MM
    count = math.floor((highest - form.least_mm) / step + 1e-9) + 1
    ground = [round(highest - n * step, 4) for n in range(max(count, 0))]
    if form.must and not ground:
        raise ValueError(f"{form.roller} has to be ground and has nothing left to grind")
    return ground if form.must else [form.diameter_mm, *ground]


def _worst(diameters: Sequence[float], plate_mm: float) -> tuple[float, tuple[int, int]]:
    """The smallest miss of a set, and the two it is between (-1: the plate)."""
    to_plate = [(miss_mm(each, plate_mm), (n, -1)) for n, each in enumerate(diameters)]
    mutual = [(miss_mm(diameters[m], diameters[n]), (m, n)) for m, n in combinations(range(len(diameters)), 2)]
    return min([*to_plate, *mutual])
