"""Circles in the plane: where two of them cross, and how clear a place is of others."""

from __future__ import annotations

import math
from collections.abc import Iterable

Place = tuple[float, float]


def crossings(first: Place, first_radius: float, *, second: Place, second_radius: float) -> tuple[Place, Place] | None:
    """The two crossings of two circles, left one first when looking from the first centre to the second.

    ``None`` when one lies clear of, or inside, the other. Touching circles give the same place twice.
    """
    x, y = second[0] - first[0], second[1] - first[1]
    length = math.hypot(x, y)
    if length == 0 or length > first_radius + second_radius or length < abs(first_radius - second_radius):
        return None
    along = (length**2 + first_radius**2 - second_radius**2) / (2 * length)
    across = math.sqrt(max(0.0, first_radius**2 - along**2))
    ux, uy = x / length, y / length
    foot = (first[0] + along * ux, first[1] + along * uy)
    return (foot[0] - across * uy, foot[1] + across * ux), (foot[0] + across * uy, foot[1] - across * ux)


def clearance(place: Place, radius: float, *, others: Iterable[tuple[Place, float]]) -> float:
    """Smallest distance between the surface of a circle and those of ``others``; negative where they overlap."""
    return min((math.dist(place, centre) - radius - other for centre, other in others), default=math.inf)
