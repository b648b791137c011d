"""The scale card: what is printed on it, and where, in millimetres from its upper left corner (x right, y down).

The card lies with its lower edge along the stripe. Six black discs give the scale; each is told from the others by the
number of round holes in it. Three boxes, one of them filled, say at which place of the roller the card lay.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

CARD_WIDTH_MM, CARD_HEIGHT_MM = 150.0, 42.0
DISC_RADIUS_MM = 5.5
HOLE_RADIUS_MM = 0.95
HOLES_ON_MM = 3.3
"""Radius of the circle that the holes of a disc lie on; a single hole lies in the middle."""
CHECK_LINE_MM = 100.0
CHECK_LINE_FROM = (25.0, 20.0)
BOX_MM = 5.0
REACH_MM = 45.0
"""How far below its edge the card is read: beyond, its scale would be drawn out too far."""


class Place(Enum):
    """Where along the roller a card lies."""

    OPERATOR = "operator"
    MIDDLE = "middle"
    GEAR = "gear"


@dataclass(frozen=True, slots=True)
class Disc:
    """A black disc with round holes."""

    holes: int
    x_mm: float
    y_mm: float

    @property
    def holes_mm(self) -> tuple[tuple[float, float], ...]:
        """Middles of the holes, the first one straight up."""
        if self.holes == 1:
            return ((self.x_mm, self.y_mm),)
        turns = (2 * math.pi * number / self.holes for number in range(self.holes))
        return tuple((self.x_mm + HOLES_ON_MM * math.sin(a), self.y_mm - HOLES_ON_MM * math.cos(a)) for a in turns)


DISCS = (
    Disc(1, 9.0, 9.0),
    Disc(2, 75.0, 9.0),
    Disc(3, 141.0, 9.0),
    Disc(4, 9.0, 31.0),
    Disc(5, 75.0, 31.0),
    Disc(6, 141.0, 31.0),
)
BOXES_MM = {Place.OPERATOR: (96.0, 10.0), Place.MIDDLE: (109.0, 10.0), Place.GEAR: (122.0, 10.0)}
"""Middles of the boxes."""
