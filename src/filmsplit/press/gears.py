"""Gear pitches, and what a driven roller slips when its surface has left the size the gears were made for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press.press import Unit
from filmsplit.press.repeats import turns_ratio
from filmsplit.press.roller import Roller
from filmsplit.press.turning import at_press_speed
from filmsplit.press.words import DriveKind


@dataclass(frozen=True, slots=True, kw_only=True)
class GearPitch:
    """One gear: tooth pitch at its pitch circle (where its module is known) and carried out to the surface it turns."""

    member: str
    teeth: int
    module_mm: float | None
    pitch_at_gear_mm: float | None
    pitch_at_surface_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrivenSlip:
    """How far the surface of a driven roller runs ahead (+) or behind (-) of what it was drawn to do.

    ``gearing_slip`` compares the drawn surface with the plate's, as the gearing turns both (``None``: gearing unknown).
    """

    member: str
    drawn_diameter_mm: float
    measured_diameter_mm: float
    slip: float
    slip_mm_per_plate_turn: float
    gearing_slip: float | None


def tooth_pitch_mm(module_mm: float) -> float:
    """Distance from tooth to tooth along the pitch circle."""
    return math.pi * module_mm


def surface_pitch_mm(diameter_mm: float, *, teeth: int) -> float:
    """Distance between the bars that each tooth leaves, along the surface the gear turns."""
    return math.pi * diameter_mm / teeth


def gear_pitches(unit: Unit) -> tuple[GearPitch, ...]:
    """Pitches of every gear whose teeth are counted: plate and blanket cylinder first, then rollers in file order."""
    cylinders = {"plate": unit.cylinders.plate, "blanket": unit.cylinders.blanket}
    pitches = [
        _pitch(id, cylinder.gear_teeth, module_mm=cylinder.gear_module_mm, diameter_mm=cylinder.diameter_mm)
        for id, cylinder in cylinders.items()
        if cylinder.gear_teeth is not None
    ]
    for roller in unit.rollers:
        drive = roller.drive
        if drive.kind is DriveKind.GEAR and drive.teeth is not None:
            module_mm = None if drive.pitch_diameter_mm is None else drive.pitch_diameter_mm / drive.teeth
            pitches.append(_pitch(roller.id, drive.teeth, module_mm=module_mm, diameter_mm=roller.diameter_mm))
    return tuple(pitches)


def _pitch(member: str, teeth: int, *, module_mm: float | None, diameter_mm: float) -> GearPitch:
    return GearPitch(
        member=member,
        teeth=teeth,
        module_mm=module_mm,
        pitch_at_gear_mm=None if module_mm is None else tooth_pitch_mm(module_mm),
        pitch_at_surface_mm=surface_pitch_mm(diameter_mm, teeth=teeth),
    )


def driven_slips(unit: Unit) -> tuple[DrivenSlip, ...]:
    """Driven rollers that should roll with the train, and whose measured diameter is off the drawn one.

    Rollers that only slip or touch at times (fountain and pan rollers, ductors) run at a speed of their own.
    """
    plate_mm = unit.cylinders.plate.circumference_mm
    return tuple(
        _driven_slip(unit, roller, plate_mm)
        for roller in unit.rollers
        if not roller.drive.kind.is_friction
        and roller.diameter_mm != roller.drawn_diameter_mm
        and roller.id in at_press_speed(unit)
    )


def _driven_slip(unit: Unit, roller: Roller, plate_mm: float) -> DrivenSlip:
    slip = (roller.diameter_mm - roller.drawn_diameter_mm) / roller.drawn_diameter_mm
    turns = turns_ratio(unit, roller)
    drawn_mm = math.pi * roller.drawn_diameter_mm
    return DrivenSlip(
        member=roller.id,
        drawn_diameter_mm=roller.drawn_diameter_mm,
        measured_diameter_mm=roller.diameter_mm,
        slip=slip,
        slip_mm_per_plate_turn=slip * plate_mm,
        gearing_slip=None if turns is None else turns * drawn_mm / plate_mm - 1.0,
    )
