"""The demo presses are consistent machines, and rollers can be told apart by their marks, save where meant otherwise.

Sources: geometry; sizes of small-format rollers by common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import pytest

from filmsplit.formats.press_file import describe, load, read_text
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.words import DriveKind, MotionKind, Role, System

CLEAR_MM = 2.0
"""Bodies that do not touch stand at least this far apart."""

TELLABLE_MM = 1.4
"""Diameters this far apart give distances over three turns more than 13 mm apart: plain with any ruler."""


def presses() -> list[Press]:
    return [load(demo_path(press_id)).press for press_id in demo_presses()]


def units() -> Iterator[Unit]:
    for press in presses():
        yield from press.units


def surface_gap_mm(unit: Unit, a: str, b: str) -> float:
    one, other = unit.member(a), unit.member(b)
    apart_mm = math.hypot(one.centre.x_mm - other.centre.x_mm, one.centre.y_mm - other.centre.y_mm)
    return apart_mm - (one.diameter_mm + other.diameter_mm) / 2


def test_touching_bodies_touch_and_all_others_are_clear() -> None:
    for unit in units():
        touching = {frozenset((c.a, c.b)): c for c in unit.contacts}
        ductors = {r.id for r in unit.rollers if r.motion.kind is MotionKind.DUCTS}
        cylinders = ({"plate", "blanket"}, {"blanket", "impression"})
        for a, b in combinations(unit.member_ids, 2):
            gap_mm = surface_gap_mm(unit, a, b)
            if {a, b} & ductors and frozenset((a, b)) in touching:
                continue
            if frozenset((a, b)) in touching or {a, b} in cylinders:
                assert abs(gap_mm) <= 0.1, (unit.name, a, b)
            else:
                assert gap_mm >= CLEAR_MM, (unit.name, a, b)


def test_ductor_can_swing_from_one_side_to_the_other() -> None:
    """The air on both sides of a ductor is its swing, 3 to 6 mm (common practice for a small press)."""
    for unit in units():
        for ductor in (r for r in unit.rollers if r.motion.kind is MotionKind.DUCTS):
            sides = [c.other(ductor.id) for c in unit.contacts_of(ductor.id)]
            air_mm = sum(surface_gap_mm(unit, ductor.id, side) for side in sides)
            assert len(sides) == 2
            assert 3 <= ductor.motion.swing_mm <= 6
            assert air_mm == pytest.approx(ductor.motion.swing_mm, abs=0.6)


def test_units_of_one_press_do_not_stand_in_each_other() -> None:
    for press in presses():
        for one, other in combinations(press.units, 2):
            for a in one.member_ids:
                for b in other.member_ids:
                    first, second = one.member(a), other.member(b)
                    apart_mm = math.hypot(
                        first.centre.x_mm - second.centre.x_mm, first.centre.y_mm - second.centre.y_mm
                    )
                    assert apart_mm - (first.diameter_mm + second.diameter_mm) / 2 > CLEAR_MM


def test_centres_as_written_are_no_further_off_than_a_reading() -> None:
    """Written to 0.1 mm, or to 1 mm where read off a photograph: relaxing moves nothing by more than a millimetre."""
    for press_id in demo_presses():
        written = describe(read_text(demo_path(press_id))).press
        relaxed = load(demo_path(press_id)).press
        for before, after in zip(written.units, relaxed.units, strict=True):
            for roller in before.rollers:
                moved = after.roller(roller.id).centre
                assert math.hypot(moved.x_mm - roller.centre.x_mm, moved.y_mm - roller.centre.y_mm) < 1.0


def test_water_comes_before_ink_in_the_turn_of_the_plate() -> None:
    """Going with the plate from the blanket on: first what brings water, then ink alone."""
    for unit in units():
        plate, blanket = unit.cylinders.plate.centre, unit.cylinders.blanket.centre
        sense = 1 if unit.cylinders.plate_turns.value == "anticlockwise" else -1

        def turned_deg(roller: Roller, plate=plate, blanket=blanket, sense=sense) -> float:
            at = math.atan2(roller.centre.y_mm - plate.y_mm, roller.centre.x_mm - plate.x_mm)
            start = math.atan2(blanket.y_mm - plate.y_mm, blanket.x_mm - plate.x_mm)
            return math.degrees(sense * (at - start)) % 360

        forms = sorted((r for r in unit.rollers if r.role is Role.FORM), key=turned_deg)
        assert forms[0].system is not System.INK
        assert all(form.system is System.INK for form in forms[1:])


def distinct_share(rollers: tuple[Roller, ...]) -> float:
    """Part of the rollers whose diameter stands clear of every other one's."""
    alone = [
        r
        for r in rollers
        if all(abs(r.diameter_mm - o.diameter_mm) >= TELLABLE_MM - 1e-9 for o in rollers if o is not r)
    ]
    return len(alone) / len(rollers)


def test_most_rollers_of_a_unit_can_be_told_apart() -> None:
    shares = [distinct_share(unit.rollers) for unit in units()]
    assert min(shares) >= 0.9


def test_twins_share_a_diameter_on_purpose() -> None:
    unit = load(demo_path("bittern")).press.units[0]
    twins = [(a.id, b.id) for a, b in combinations(unit.rollers, 2) if a.diameter_mm == b.diameter_mm]
    assert twins == [("R1", "R2")]


def test_geared_rollers_run_with_the_plate_but_for_one_worn_drum() -> None:
    """Surface speed by gearing: teeth of the plate / teeth of the roller x circumference; within 1 % of the plate's."""
    off = {}
    for press in presses():
        for unit in press.units:
            plate = unit.cylinders.plate
            for roller in unit.rollers:
                if roller.drive.kind is DriveKind.GEAR and roller.drive.teeth is not None:
                    ratio = plate.gear_teeth / roller.drive.teeth * roller.diameter_mm / plate.diameter_mm
                    assert ratio == pytest.approx(1, abs=0.02)
                    if abs(ratio - 1) > 0.01:
                        off[press.id, roller.id] = ratio - 1
    assert list(off) == [("bittern", "D3")]
    assert off["bittern", "D3"] == pytest.approx(62.2 / 63 - 1)


def test_gears_mesh() -> None:
    """Pitch diameter = module x teeth; a gear's pitch circle lies near the surface it turns (geometry)."""
    for unit in units():
        plate = unit.cylinders.plate
        assert plate.gear_teeth * plate.gear_module_mm == pytest.approx(plate.diameter_mm, rel=0.01)
        for roller in unit.rollers:
            if roller.drive.teeth is not None:
                assert roller.drive.pitch_diameter_mm == pytest.approx(plate.gear_module_mm * roller.drive.teeth)
                assert roller.drive.pitch_diameter_mm == pytest.approx(roller.drawn_diameter_mm, rel=0.01)


def test_hard_meets_soft() -> None:
    """Soft and hard alternate (common practice): no rolling contact of two hard or of two soft members."""
    for unit in units():
        soft = {r.id for r in unit.rollers if r.is_soft}
        for contact in unit.contacts:
            assert (contact.a in soft) != (contact.b in soft), (unit.name, contact.id)


def test_sizes_are_those_of_small_presses() -> None:
    """Common practice: forms 40-65 mm, drums 45-75, riders 25-45, covers 6-12 mm, stripes 2.5-4.5 mm, plate 110-200."""
    ranges = {Role.FORM: (40, 65), Role.DRUM: (45, 75), Role.RIDER: (25, 45), Role.DISTRIBUTOR: (35, 60)}
    for unit in units():
        assert 110 <= unit.cylinders.plate.diameter_mm <= 200
        for roller in unit.rollers:
            low, high = ranges.get(roller.role, (25, 80))
            assert low <= roller.diameter_mm <= high, (unit.name, roller.id)
            assert 0.9 <= roller.mass_kg <= 12
            if roller.is_soft:
                assert 6 <= roller.cover.thickness_mm <= 12
                assert 20 <= roller.cover.hardness_shore_a <= 35
        assert all(2.5 <= contact.stripe.target_mm <= 4.5 for contact in unit.contacts)


def test_ink_roller_counts() -> None:
    """Seven to fourteen ink rollers on the small ones, about 17 to 20 on the large one (common practice)."""
    counts = {
        press.id: [
            sum(r.system is not System.DAMPENING and r.role is not Role.BRIDGE for r in u.rollers) for u in press.units
        ]
        for press in presses()
    }
    assert all(17 <= count <= 20 for count in counts.pop("bittern"))
    assert all(7 <= count <= 14 for unit_counts in counts.values() for count in unit_counts)
