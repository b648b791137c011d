"""What is odd about single rollers: what they touch, how they move, how they are driven, how long they are."""

from __future__ import annotations

import math
from collections.abc import Iterator

from filmsplit.messages import Problem
from filmsplit.press.bodies import ductors_of, joints_of
from filmsplit.press.press import Press, Unit
from filmsplit.press.repeats import turns_ratio
from filmsplit.press.roller import Roller
from filmsplit.press.turning import at_press_speed
from filmsplit.press.words import ContactKind, DriveKind, MotionKind, Role

GEARING_SHARE = 0.03
"""Gearing and drawn diameter that differ by more than this give a slip nobody would draw (common practice)."""
TEETH_SHARE = 0.01
"""Teeth times module and a pitch diameter agree to this unless one of them is mistyped."""
FACE_SHARE = 1.25
"""A face longer than the press's usual one by more than this factor is worth a second look."""


def roller_problems(press: Press, unit: Unit) -> tuple[Problem, ...]:
    """Everything a look at each roller by itself shows."""
    found: list[Problem] = []
    for roller in unit.rollers:
        found += _contacts(unit, roller)
        found += _motion(unit, roller)
        found += _gearing(unit, roller)
        found += _face(press, unit, roller)
    return tuple(found)


def _problem(slug: str, unit: Unit, roller: Roller, *field: str, **values: object) -> Problem:
    named = {"unit": unit.id, "roller": roller.id, **values}
    return Problem(slug, named, ("units", unit.id, "rollers", roller.id, *field))


def _contacts(unit: Unit, roller: Roller) -> Iterator[Problem]:
    partners = {joint.other(roller.id) for joint in joints_of(unit) if joint.joins(roller.id)}
    if not partners:
        yield _problem("roller-touches-nothing", unit, roller)
    elif roller.role is Role.FORM and "plate" not in partners:
        yield _problem("form-off-plate", unit, roller)


def _motion(unit: Unit, roller: Roller) -> Iterator[Problem]:
    if roller.motion.kind is MotionKind.OSCILLATES and roller.motion.stroke_mm == 0:
        yield _problem("oscillator-without-stroke", unit, roller, "motion", "stroke_mm")
    if roller in ductors_of(unit):
        touching = [joint for joint in joints_of(unit) if joint.joins(roller.id) and joint.kind is ContactKind.TOUCHES]
        if len(touching) < 2:
            yield _problem("ductor-one-sided", unit, roller, touching=len(touching))


def _gearing(unit: Unit, roller: Roller) -> Iterator[Problem]:
    """Gears that would turn the drawn surface faster or slower than the plate's, or that contradict themselves."""
    ratio = None if roller.drive.kind.is_friction else turns_ratio(unit, roller)
    if ratio is not None and roller.id in at_press_speed(unit):
        geared_mm = unit.cylinders.plate.diameter_mm / ratio
        off = roller.drawn_diameter_mm / geared_mm - 1
        if abs(off) > GEARING_SHARE:
            values = {"drawn_mm": roller.drawn_diameter_mm, "geared_mm": geared_mm, "percent": 100 * abs(off)}
            yield _problem("gearing-off-drawn", unit, roller, "drive", **values)
    yield from _teeth_and_pitch(unit, roller)


def _teeth_and_pitch(unit: Unit, roller: Roller) -> Iterator[Problem]:
    drive, module_mm = roller.drive, unit.cylinders.plate.gear_module_mm
    if drive.kind is not DriveKind.GEAR or drive.teeth is None or drive.pitch_diameter_mm is None or module_mm is None:
        return
    expected_mm = drive.teeth * module_mm
    if not math.isclose(expected_mm, drive.pitch_diameter_mm, rel_tol=TEETH_SHARE):
        values = {"teeth": drive.teeth, "expected_mm": expected_mm, "pitch_mm": drive.pitch_diameter_mm}
        yield _problem("teeth-and-pitch-disagree", unit, roller, "drive", "pitch_diameter_mm", **values)


def _face(press: Press, unit: Unit, roller: Roller) -> Iterator[Problem]:
    """A form roller too short for the sheet leaves its edges bare; a very long face is mostly a slip of the pen."""
    path = ("units", unit.id, "rollers", roller.id, "face_mm")
    if press.is_assumed(*path):
        return
    if roller.role is Role.FORM and roller.face_mm < press.sheet_width_mm and not press.is_assumed("sheet_width_mm"):
        values = {"face_mm": roller.face_mm, "sheet_mm": press.sheet_width_mm}
        yield _problem("form-shorter-than-sheet", unit, roller, "face_mm", **values)
    if roller.face_mm > FACE_SHARE * press.face_mm and not press.is_assumed("face_mm"):
        values = {"face_mm": roller.face_mm, "usual_mm": press.face_mm}
        yield _problem("face-very-long", unit, roller, "face_mm", **values)
