"""After how much travel each surface comes round again: what a mark on it repeats by."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press.cylinder import Cylinder, Impression
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import DriveKind

FRICTION_DIAMETER_SD_MM = 0.3
"""How far a friction-driven roller may roll off its measured diameter (soft ones only nearly; common practice)."""


@dataclass(frozen=True, slots=True)
class Repeat:
    """Length once round a surface in travel, its standard deviation, and whether gearing sets it."""

    member: str
    length_mm: float
    sd_mm: float
    geared: bool

    @property
    def diameter_mm(self) -> float:
        """The diameter that would repeat by this length."""
        return self.length_mm / math.pi


def repeat_of(unit: Unit, member_id: str) -> Repeat:
    """Repeat of one member in travel: friction-driven pi x measured diameter; gear-driven by its turns ratio."""
    member = unit.member(member_id)
    plate_mm = unit.cylinders.plate.circumference_mm
    if isinstance(member, (Cylinder, Impression)):
        return Repeat(member_id, _cylinder_length_mm(member, plate_mm), 0.0, geared=True)
    if member.drive.kind.is_friction:
        return Repeat(member_id, member.circumference_mm, math.pi * FRICTION_DIAMETER_SD_MM, geared=False)
    ratio = turns_ratio(unit, member)
    length_mm = math.pi * member.drawn_diameter_mm if ratio is None else plate_mm / ratio
    return Repeat(member_id, length_mm, 0.0, geared=True)


def turns_ratio(unit: Unit, roller: Roller) -> float | None:
    """Turns of a driven roller for one turn of the plate, from its gearing; ``None`` where that is not given."""
    drive, plate = roller.drive, unit.cylinders.plate
    if drive.turns_per_plate_turn is not None:
        return drive.turns_per_plate_turn
    if drive.kind is not DriveKind.GEAR or plate.gear_teeth is None:
        return None
    if drive.teeth is not None:
        return plate.gear_teeth / drive.teeth
    if drive.pitch_diameter_mm is not None and plate.gear_module_mm is not None:
        return plate.gear_teeth * plate.gear_module_mm / drive.pitch_diameter_mm
    return None


def _cylinder_length_mm(cylinder: Cylinder | Impression, plate_mm: float) -> float:
    """Cylinders are geared together: a whole number of plate turns (the impression may be a double)."""
    turns = max(1, round(math.pi * cylinder.diameter_mm / plate_mm))
    return turns * plate_mm
