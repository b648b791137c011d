"""What is assumed for cylinders and fountain where it follows from the values around.

The reasons are geometry where geometry decides (plate and blanket share a circumference; the origin of the drawing is
free) and common practice elsewhere.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from filmsplit.press.roller import Point
from filmsplit.press.rows import ByRole, Derived, Surroundings
from filmsplit.press.words import KeyKind, SweepKind

if TYPE_CHECKING:
    from filmsplit.press.cylinder import Cylinder

ZONE_MM = 30.0
"""A usual width of an ink zone on a small press (common practice)."""

HIGHEST_KEY = {KeyKind.NUMBERED: 100.0, KeyKind.UNNUMBERED: 2.0, KeyKind.STEPPED: 16.0}
HIGHEST_SWEEP = {SweepKind.CONTINUOUS: 100.0, SweepKind.NOTCHED: 12.0}


def _dressed_mm(record: Surroundings) -> float:
    """What plate or blanket and packing add to the diameter."""
    return 2.0 * (float(record.record["cover_mm"]) + float(record.record["packing_mm"]))


def _plate_body_mm(s: Surroundings) -> float:
    """The plate goes once round with the longest sheet and the gap."""
    round_mm = float(s.press["sheet_length_mm"]) + float(s.record["gap_mm"])
    return _tenth(round_mm / math.pi - _dressed_mm(s))


def _blanket_body_mm(s: Surroundings) -> float:
    """The blanket's surface is as long as the plate's."""
    plate: Cylinder = s.around["plate"]
    return round(plate.diameter_mm - _dressed_mm(s), 6)


def _plate_gap_mm(s: Surroundings) -> float:
    plate: Cylinder = s.around["plate"]
    return plate.gap_mm


def _plate_diameter_mm(s: Surroundings) -> float:
    plate: Cylinder = s.around["plate"]
    return plate.diameter_mm


def _below_plate(s: Surroundings) -> Point:
    plate: Cylinder = s.around["plate"]
    radius_mm = (float(s.record["body_diameter_mm"]) + _dressed_mm(s)) / 2
    return _below(plate.centre, plate.diameter_mm / 2 + radius_mm)


def _below_blanket(s: Surroundings) -> Point:
    blanket: Cylinder = s.around["blanket"]
    return _below(blanket.centre, blanket.diameter_mm / 2 + float(s.record["diameter_mm"]) / 2)


def _below(centre: Point, distance_mm: float) -> Point:
    return Point(x_mm=centre.x_mm, y_mm=centre.y_mm - distance_mm)


def _equal_zones_mm(s: Surroundings) -> tuple[float, ...]:
    """As many equal zones as fit the face."""
    face_mm = float(s.press["face_mm"])
    count = max(1, math.floor(face_mm / ZONE_MM))
    return (ZONE_MM if face_mm >= ZONE_MM else face_mm,) * count


def _tenth(value_mm: float) -> float:
    return round(value_mm, 1)


BODY_DIAMETER = ByRole({"plate": Derived(_plate_body_mm)}, Derived(_blanket_body_mm))
GAP = ByRole({"plate": 90.0}, Derived(_plate_gap_mm))
COVER = ByRole({"plate": 0.15}, 1.95)
CYLINDER_CENTRE = ByRole({"plate": Point(x_mm=0.0, y_mm=0.0)}, Derived(_below_plate))
IMPRESSION_CENTRE = Derived(_below_blanket)
IMPRESSION_DIAMETER = Derived(_plate_diameter_mm)
ZONE_WIDTHS = Derived(_equal_zones_mm)
HIGHEST_KEY_READING = Derived(lambda s: HIGHEST_KEY[s.record["kind"]])
HIGHEST_SWEEP_SETTING = Derived(lambda s: HIGHEST_SWEEP[s.record["kind"]])
