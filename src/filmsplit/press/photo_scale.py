"""Where the dots of a photo of a unit's side lie on the press: a similarity, told by taps and one known length.

A photo taken square on from far away keeps lengths and angles but for one scale; nothing else is taken from it. Where
rollers really touch is worked out from their diameters afterwards, so a centre may be rough.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages import Problem, Refusal
from filmsplit.press.roller import Point

__all__ = ["LEAST_SHARE", "MOST_TILT_DEG", "Dot", "Lie", "PhotoScale", "ScaleTold", "Seen", "photo_scale"]

Dot = tuple[float, float]
"""Dots from the left and from the top of a photo."""
LEAST_SHARE = 0.1
"""Of the photo's longer side, between the ends of the known length: the scale is out by as much as a tap is."""
MOST_TILT_DEG = 15.0
"""A line said to be level or upright that leans more is another line, or another photo."""


class Lie(Enum):
    """How the known length lies on the press."""

    LEVEL = "level"
    UPRIGHT = "upright"
    ANY = "any"


class Seen(Enum):
    """The side of the press that the photo was taken from."""

    OPERATOR = "operator"
    GEAR = "gear"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoScale:
    """``middle`` is the dot of the plate cylinder's axis; ``tilt_deg`` how far the press leans on the photo, clockwise;
    ``mirrored`` where it was taken from the gear side."""

    mm_per_dot: float
    tilt_deg: float
    middle: Dot
    mirrored: bool

    def point(self, dot: Dot) -> Point:
        """A dot on the press: mm from the plate's axis, x to the right and y up as the operator's side sees it."""
        right, down = self._turned(dot[0] - self.middle[0], dot[1] - self.middle[1], by_deg=-self.tilt_deg)
        return Point(x_mm=(-right if self.mirrored else right) * self.mm_per_dot, y_mm=-down * self.mm_per_dot)

    def dot(self, point: Point) -> Dot:
        """A point of the press on the photo."""
        right = (-point.x_mm if self.mirrored else point.x_mm) / self.mm_per_dot
        across, along = self._turned(right, -point.y_mm / self.mm_per_dot, by_deg=self.tilt_deg)
        return self.middle[0] + across, self.middle[1] + along

    def length_mm(self, a: Dot, b: Dot) -> float:
        """The distance of two dots on the press."""
        return math.dist(a, b) * self.mm_per_dot

    @staticmethod
    def _turned(right: float, down: float, *, by_deg: float) -> Dot:
        cos, sin = math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))
        return right * cos - down * sin, right * sin + down * cos


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleTold:
    """What was tapped and typed: both ends of a known length, how it lies, the plate's axis, the side of the press."""

    ends: tuple[Dot, Dot]
    length_mm: float
    lie: Lie
    middle: Dot
    seen: Seen


def photo_scale(told: ScaleTold, *, longer_side: float) -> PhotoScale:
    """The scale of a photo whose longer side has ``longer_side`` dots. :class:`Refusal` where it cannot be told."""
    dots, lie = math.dist(*told.ends), told.lie
    if dots < LEAST_SHARE * longer_side:
        raise Refusal(Problem("photo-ends-too-near", {"percent": 100 * LEAST_SHARE}))
    tilt_deg = 0.0 if lie is Lie.ANY else _lean_deg(told.ends, upright=lie is Lie.UPRIGHT)
    if abs(tilt_deg) > MOST_TILT_DEG:
        raise Refusal(Problem("photo-leans", {"lie": lie.value, "lean_deg": abs(tilt_deg), "most_deg": MOST_TILT_DEG}))
    is_mirrored = told.seen is Seen.GEAR
    return PhotoScale(mm_per_dot=told.length_mm / dots, tilt_deg=tilt_deg, middle=told.middle, mirrored=is_mirrored)


def _lean_deg(ends: tuple[Dot, Dot], *, upright: bool) -> float:
    """How far a line leans from level, or from upright; whichever end was tapped first."""
    (x1, y1), (x2, y2) = ends
    angle_deg = math.degrees(math.atan2(y2 - y1, x2 - x1)) - (90.0 if upright else 0.0)
    return (angle_deg + 90.0) % 180.0 - 90.0
