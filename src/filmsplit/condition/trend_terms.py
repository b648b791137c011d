"""What a reading is made of: the terms of the trend, each with what is likely of it beforehand.

A reading is the start of its cover, its course since, and what reader, instrument, warmth and glaze add. The course is
a straight line with a rate that covers of one compound share, a step and another rate after a change of wash, a step at
a regrind, and small bends every half year, because no cover ages along a straight line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from filmsplit.condition.lives import CoverLife, TrendPoint
from filmsplit.condition.measuring import REFERENCE_C, SHORE_A_PER_K

DAYS_A_YEAR = 365.25
BEND_YEARS = 0.5
Term = tuple[str, ...]
"""The kind of a term, then what it belongs to: ("rate", "nitrile rubber"), ("start", "F1/0")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Likely:
    """A number before anything was read: its mean and deviation, and where they come from."""

    mean: float
    sigma: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendHabits:
    """What is likely of every kind of term beforehand; ``bend`` is a change of rate over a root of a year."""

    likely: Mapping[str, Likely]
    start_without_nominal: Likely
    unknown_temperature_k: float = 4.0
    learned: frozenset[str] = field(
        default=frozenset({"rate of cover", "reader", "instrument", "wash step of cover", "wash rate of cover", "bend"})
    )
    """Kinds whose deviation is found from the readings too."""


HARDNESS_HABITS = TrendHabits(
    likely={
        "start": Likely(mean=0.0, sigma=2.5, source="covers arrive within 5 points (common practice)"),
        "rate": Likely(
            mean=3.0, sigma=1.5, source="10 to 15 points over a life of 3 to 5 years in teaching (common practice)"
        ),
        "rate of cover": Likely(mean=0.0, sigma=1.0, source="invented default"),
        "reader": Likely(mean=0.0, sigma=1.2, source="bias of 1 to 2 points (common practice)"),
        "instrument": Likely(mean=0.0, sigma=1.2, source="two differ by 4 points or more (common practice)"),
        "warmth": Likely(mean=SHORE_A_PER_K, sigma=0.1, source="softer when warm (common practice), size invented"),
        "glaze": Likely(mean=2.0, sigma=1.5, source="invented default"),
        "wash step": Likely(mean=0.0, sigma=1.5, source="invented default"),
        "wash step of cover": Likely(mean=0.0, sigma=0.7, source="invented default"),
        "wash rate": Likely(mean=0.0, sigma=1.0, source="invented default"),
        "wash rate of cover": Likely(mean=0.0, sigma=0.5, source="invented default"),
        "regrind": Likely(mean=-1.0, sigma=1.5, source="the hardest skin comes off; invented default"),
        "bend": Likely(mean=0.0, sigma=0.4, source="invented default"),
    },
    start_without_nominal=Likely(mean=30.0, sigma=8.0, source="soft rollers are 18 to 40 (common practice)"),
)

SHRINK_HABITS = TrendHabits(
    likely={
        "start": Likely(mean=0.0, sigma=0.1, source="tolerance of new rollers (common practice)"),
        "rate": Likely(mean=0.08, sigma=0.08, source="0.3 to 0.5 mm over a life (common practice)"),
        "rate of cover": Likely(mean=0.0, sigma=0.05, source="invented default"),
        "reader": Likely(mean=0.0, sigma=0.02, source="invented default"),
        "instrument": Likely(mean=0.0, sigma=0.02, source="invented default"),
        "warmth": Likely(mean=0.0, sigma=0.005, source="bonded cover: 0.012 mm per K of a 10 mm cover at most"),
        "glaze": Likely(mean=0.0, sigma=0.001, source="a skin of glaze is a few micrometres (memory)"),
        "wash step": Likely(mean=0.0, sigma=0.08, source="invented default"),
        "wash step of cover": Likely(mean=0.0, sigma=0.04, source="invented default"),
        "wash rate": Likely(mean=0.0, sigma=0.05, source="invented default"),
        "wash rate of cover": Likely(mean=0.0, sigma=0.02, source="invented default"),
        "regrind": Likely(mean=0.0, sigma=0.1, source="a regrind begins a new life of the diameter"),
        "bend": Likely(mean=0.0, sigma=0.02, source="invented default"),
    },
    start_without_nominal=Likely(mean=-50.0, sigma=30.0, source="rollers of small presses (common practice)"),
)


def years(begin: date, end: date) -> float:
    """From one day to another."""
    return (end - begin).days / DAYS_A_YEAR


def course(life: CoverLife, on: date, *, bends_until: date) -> Iterator[tuple[Term, float]]:
    """How much each term adds to the rise of a cover from its first day to ``on``."""
    age = years(life.began, on)
    yield ("rate", life.compound), age
    yield ("rate of cover", life.key), age
    for change in life.wash_changes:
        if on >= change:
            since, day = years(change, on), change.isoformat()
            yield ("wash step", life.press, day), 1.0
            yield ("wash step of cover", life.key, day), 1.0
            yield ("wash rate", life.press, day), since
            yield ("wash rate of cover", life.key, day), since
    for ground in life.regrinds:
        if on >= ground:
            yield ("regrind", life.key, ground.isoformat()), 1.0
    for number, knot in enumerate(_knots(life, until=min(on, bends_until))):
        yield ("bend", life.key, str(number)), years(knot, on)


def _knots(life: CoverLife, *, until: date) -> Iterator[date]:
    step, knot = timedelta(days=BEND_YEARS * DAYS_A_YEAR), life.began
    while knot + step <= until:
        knot += step
        yield knot


def warmer_k(point: TrendPoint) -> float:
    """How much warmer than the reference temperature; 0 where nobody measured."""
    return 0.0 if point.temperature_c is None else point.temperature_c - REFERENCE_C


def read(life: CoverLife, point: TrendPoint, *, bends_until: date) -> Iterator[tuple[Term, float]]:
    """How much each term adds to what was read."""
    yield ("start", life.key), 1.0
    yield from course(life, point.on, bends_until=bends_until)
    yield ("reader", point.reader), 1.0
    yield ("instrument", point.instrument), 1.0
    if point.temperature_c is not None:
        yield ("warmth",), warmer_k(point)
    if point.glazed:
        yield ("glaze",), 1.0
