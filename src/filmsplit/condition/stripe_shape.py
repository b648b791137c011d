"""What the shape of a stripe says: its name, its likely cause, and what puts it right.

Only an even, wide, narrow or tapered stripe is put right by turning adjusters. Every other shape is the roller's own or
its bearings': turning would hide it. Which shape has which cause is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from statistics import fmean

import numpy as np

from filmsplit.condition.setting_targets import TOLERANCE_MM
from filmsplit.messages import Problem, Refusal

PLACES = (3, 5)
BOW_PART = 1.5
"""A bow or an island is called one from so many tolerances on: three readings are compared, each with its error
(invented default)."""
ANGLES_READ = 4
MOST_C = 80.0


class Shape(Enum):
    """What a stripe looks like. Several may hold at once, such as wide and tapered."""

    EVEN = "even"
    WIDE = "wide"
    NARROW = "narrow"
    TAPER = "taper"
    DOG_BONE = "dog-bone"
    HOLLOW = "hollow"
    BARREL = "barrel"
    SKEW = "skew"
    BLOTCHY = "blotchy"
    DOUBLE = "double"
    ROUND_THE_TURN = "round-the-turn"

    @property
    def is_set(self) -> bool:
        """Whether adjusters put it right (an even one is right)."""
        return self in _SET


_SET = (Shape.EVEN, Shape.WIDE, Shape.NARROW, Shape.TAPER)


class Look(Enum):
    """What widths cannot tell and an eye can."""

    ISLANDS = "islands"
    TWO_LINES = "two lines"


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeRead:
    """One stripe: widths in mm from the operator's side at 3 or 5 places, and the covers' temperature.

    A width of 0: no mark there. ``places``: parts of the face, 0 at the operator's end; evenly spread where not told.
    ``centres_mm``: how far round the partner the middle of the stripe lies at the two ends. ``turn_mm``: widths at one
    place at 0, 90, 180 and 270 degrees.
    """

    widths_mm: tuple[float, ...]
    temperature_c: float
    places: tuple[float, ...] = ()
    centres_mm: tuple[float, float] | None = None
    turn_mm: tuple[float, ...] = ()
    looks: frozenset[Look] = frozenset()

    def __post_init__(self) -> None:
        problems = list(self._wrong())
        if problems:
            raise Refusal(problems)

    def _wrong(self) -> Iterator[Problem]:
        if len(self.widths_mm) not in PLACES:
            yield Problem("stripe-not-3-or-5-places", {"places": len(self.widths_mm)})
        for width in (*self.widths_mm, *self.turn_mm):
            if not 0.0 <= width < 50.0:
                yield Problem("stripe-width-impossible", {"width": width})
        if not 0.0 <= self.temperature_c <= MOST_C:
            yield Problem("stripe-temperature-impossible", {"temperature": self.temperature_c, "most": MOST_C})
        if len(self.turn_mm) not in (0, ANGLES_READ):
            yield Problem("stripe-not-at-four-angles", {"angles": len(self.turn_mm)})
        rising = all(before < after for before, after in zip(self.places, self.places[1:], strict=False))
        inside = all(0.0 <= place <= 1.0 for place in self.places)
        if self.places and (len(self.places) != len(self.widths_mm) or not rising or not inside):
            yield Problem("stripe-places-do-not-fit")

    @property
    def along(self) -> tuple[float, ...]:
        """Where along the face each width was read, 0 to 1."""
        return self.places or tuple(float(place) for place in np.linspace(0.05, 0.95, len(self.widths_mm)))

    @property
    def mean_mm(self) -> float:
        return fmean(self.widths_mm)


def mean_read(reads: Sequence[StripeRead]) -> StripeRead:
    """The mean of one stripe read several times, oldest first; those not read where the newest was are left out.

    What an eye or a turn of the roller tells is the newest one's.
    """
    newest = reads[-1]
    same = [one for one in reads if one.along == newest.along]
    return replace(
        newest,
        widths_mm=tuple(fmean(widths) for widths in zip(*(one.widths_mm for one in same), strict=True)),
        temperature_c=fmean(one.temperature_c for one in same),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeFound:
    """A shape and the sentence that gives its cause and correction."""

    shape: Shape
    problem: Problem


def shapes_of(stripe: StripeRead, *, target_mm: float, tolerance_mm: float = TOLERANCE_MM) -> tuple[ShapeFound, ...]:
    """Every shape the stripe has against its target as it should look now; EVEN alone where nothing is wrong."""
    found = list(_by_eye(stripe, tolerance_mm)) + list(_along(stripe.widths_mm, tolerance_mm))
    off = stripe.mean_mm - target_mm
    if abs(off) > tolerance_mm:
        found.append(Shape.WIDE if off > 0 else Shape.NARROW)
    values = {
        "mean": round(stripe.mean_mm, 2),
        "target": round(target_mm, 2),
        "ends": f"{stripe.widths_mm[0]:g} / {stripe.widths_mm[-1]:g}",
        "tolerance": tolerance_mm,
    }
    return tuple(ShapeFound(shape=shape, problem=Problem(_SLUGS[shape], values)) for shape in found or [Shape.EVEN])


def _by_eye(stripe: StripeRead, tolerance_mm: float) -> Iterator[Shape]:
    if Look.TWO_LINES in stripe.looks:
        yield Shape.DOUBLE
    if Look.ISLANDS in stripe.looks:
        yield Shape.BLOTCHY
    if stripe.turn_mm and max(stripe.turn_mm) - min(stripe.turn_mm) > tolerance_mm:
        yield Shape.ROUND_THE_TURN
    if stripe.centres_mm is not None and abs(stripe.centres_mm[1] - stripe.centres_mm[0]) > tolerance_mm:
        yield Shape.SKEW


def _along(widths: tuple[float, ...], tolerance_mm: float) -> Iterator[Shape]:
    """Shapes of the widths alone. With five places, what no bow explains is islands nobody mentioned."""
    first, *inner, last = widths
    bow = BOW_PART * tolerance_mm
    between = inner[len(inner) // 2]
    if between == 0.0 and min(first, last) > 0.0:
        yield Shape.HOLLOW
    elif min(first, last) - between > bow:
        yield Shape.DOG_BONE
    elif between - max(first, last) > bow:
        yield Shape.BARREL
    elif any(not min(pair) <= width <= max(pair) for pair, width in _beside(widths, bow)):
        yield Shape.BLOTCHY
    if abs(first - last) > tolerance_mm:
        yield Shape.TAPER


def _beside(widths: tuple[float, ...], band_mm: float) -> Iterator[tuple[tuple[float, float], float]]:
    """Each inner width with the band its two neighbours leave it."""
    for before, width, after in zip(widths, widths[1:], widths[2:], strict=False):
        yield (min(before, after) - band_mm, max(before, after) + band_mm), width


_SLUGS = {
    Shape.EVEN: "stripe-even",
    Shape.WIDE: "stripe-too-wide",
    Shape.NARROW: "stripe-too-narrow",
    Shape.TAPER: "stripe-tapered",
    Shape.DOG_BONE: "stripe-dog-bone",
    Shape.HOLLOW: "stripe-hollow",
    Shape.BARREL: "stripe-barrel",
    Shape.SKEW: "stripe-skewed",
    Shape.BLOTCHY: "stripe-blotchy",
    Shape.DOUBLE: "stripe-double",
    Shape.ROUND_THE_TURN: "stripe-varies-round-the-turn",
}
