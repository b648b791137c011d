"""Boxes, discs and lines on paper, and whether they are in each other's way."""

from __future__ import annotations

import math
from typing import NamedTuple

Spot = tuple[float, float]


class Box(NamedTuple):
    """An upright rectangle: left, top, right, bottom (paper, y down)."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def overlaps(self, other: Box) -> bool:
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        return (
            self.left >= other.left
            and self.top >= other.top
            and self.right <= other.right
            and self.bottom <= other.bottom
        )

    def nearest(self, spot: Spot) -> Spot:
        """The point of the box closest to ``spot``."""
        return min(max(spot[0], self.left), self.right), min(max(spot[1], self.top), self.bottom)


class Disc(NamedTuple):
    """A circle and what is in it."""

    x: float
    y: float
    r: float

    def meets(self, box: Box) -> bool:
        x, y = self.x, self.y
        dx = box.left - x if x < box.left else x - box.right if x > box.right else 0.0
        dy = box.top - y if y < box.top else y - box.bottom if y > box.bottom else 0.0
        return dx * dx + dy * dy < self.r * self.r

    def holds(self, box: Box) -> bool:
        dx = max(abs(box.left - self.x), abs(box.right - self.x))
        dy = max(abs(box.top - self.y), abs(box.bottom - self.y))
        return dx * dx + dy * dy <= self.r * self.r

    def cut_by(self, start: Spot, end: Spot) -> bool:
        """Whether the straight line from ``start`` to ``end`` passes through."""
        ax, ay = start[0] - self.x, start[1] - self.y
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = dx * dx + dy * dy
        t = 0.0 if length == 0 else max(0.0, min(1.0, -(ax * dx + ay * dy) / length))
        px, py = ax + t * dx, ay + t * dy
        return px * px + py * py < self.r * self.r


def box_cut_by(box: Box, start: Spot, end: Spot) -> bool:
    """Whether the straight line from ``start`` to ``end`` passes through ``box`` (clipping by the four sides)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    low, high = 0.0, 1.0
    for step, near, far in (
        (dx, box.left - start[0], box.right - start[0]),
        (dy, box.top - start[1], box.bottom - start[1]),
    ):
        if step == 0:
            if near > 0 or far < 0:
                return False
            continue
        first, last = sorted((near / step, far / step))
        low, high = max(low, first), min(high, last)
        if low > high:
            return False
    return True


def lines_cross(first: tuple[Spot, Spot], second: tuple[Spot, Spot]) -> bool:
    """Whether two straight lines cross."""
    (a, b), (c, d) = first, second

    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def on_circle(centre: Spot, r: float, angle_deg: float) -> Spot:
    """The point of a circle on paper at ``angle_deg``, anticlockwise from the right as on the machine."""
    turn = math.radians(angle_deg)
    return centre[0] + r * math.cos(turn), centre[1] - r * math.sin(turn)
