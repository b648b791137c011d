"""Circumferences, areas, ratios to the plate, gear pitches and slip, against geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from filmsplit.press.facts import Tolerances, facts_of
from filmsplit.press.gears import driven_slips, gear_pitches, surface_pitch_mm, tooth_pitch_mm
from filmsplit.press.surfaces import near_whole
from filmsplit.press.words import DriveKind, Role
from press_facts.built import PLATE_MM, press, roller, rolls, unit
from trains import build_drive


def test_circumference_of_a_60_mm_roller() -> None:
    # Source: geometry, pi x 60. Tolerance: half the last digit printed.
    facts = facts_of(press()).unit("A").roller("IF")
    assert facts.circumference_mm == pytest.approx(188.496, abs=0.0005)


def test_surface_of_a_roller() -> None:
    # Source: geometry, pi x 0.060 m x 0.340 m.
    assert facts_of(press()).unit("A").roller("IF").surface_m2 == pytest.approx(0.0640885, abs=5e-8)


def test_tooth_pitches() -> None:
    # Source: geometry: pi x module; pi x diameter / teeth. Tolerance: half the last digit printed.
    assert tooth_pitch_mm(4.0) == pytest.approx(12.566, abs=0.0005)
    pitch_mm = surface_pitch_mm(191.0, teeth=96)
    assert pitch_mm == pytest.approx(6.25, abs=0.005)
    assert 100.0 / pitch_mm == pytest.approx(16.0, abs=0.05)


def test_gears_of_a_unit() -> None:
    there = unit()
    plate = replace(there.cylinders.plate, gear_teeth=63, gear_module_mm=2.75)
    drum = replace(there.roller("D1"), drive=replace(build_drive(DriveKind.GEAR, teeth=24), pitch_diameter_mm=66.0))
    rollers = tuple(drum if member.id == "D1" else member for member in there.rollers)
    geared = replace(there, cylinders=replace(there.cylinders, plate=plate), rollers=rollers)
    on_plate, on_drum = gear_pitches(geared)
    # Source: geometry: pi x 2.75; pi x 173 / 63; module 66 / 24 = 2.75; pi x 66 / 24. Half the last digit printed.
    assert (on_plate.member, on_drum.member) == ("plate", "D1")
    assert on_plate.pitch_at_gear_mm == pytest.approx(8.6394, abs=0.00005)
    assert on_plate.pitch_at_surface_mm == pytest.approx(8.6269, abs=0.00005)
    assert on_drum.module_mm == pytest.approx(2.75)
    assert on_drum.pitch_at_surface_mm == pytest.approx(8.6394, abs=0.00005)


def test_gears_with_no_teeth_counted_have_no_pitch() -> None:
    assert gear_pitches(unit()) == ()


def test_slip_of_a_driven_drum_below_size() -> None:
    worn = roller("D9", Role.DRUM, mm=64.8, cover=None, drawn_diameter_mm=65.0, drive=build_drive(DriveKind.GEAR))
    (slip,) = driven_slips(unit([worn], rolls("D9/F1")))
    # Source: arithmetic: (64.8 - 65) / 65 = -0.30769 %; of a plate circumference of pi x 173 mm: -1.6723 mm.
    assert slip.slip == pytest.approx(-0.0030769, abs=5e-8)
    assert slip.slip_mm_per_plate_turn == pytest.approx(-1.6723, abs=0.00005)
    assert slip.gearing_slip is None


def test_slip_that_the_gearing_itself_makes() -> None:
    drive = build_drive(DriveKind.CHAIN, turns=2.6)
    drum = roller("D9", Role.DRUM, mm=66.0, cover=None, drawn_diameter_mm=65.0, drive=drive)
    (slip,) = driven_slips(unit([drum], rolls("D9/F1")))
    # Source: arithmetic: 2.6 turns of 65 mm beside one turn of 173 mm: 169 / 173 - 1 = -2.3121 %.
    assert slip.gearing_slip == pytest.approx(-0.023121, abs=5e-7)


def test_friction_driven_and_slow_rollers_have_no_slip_of_their_own() -> None:
    soft = roller("R9", Role.RIDER, mm=40.0, drawn_diameter_mm=41.0)
    there = unit([soft], rolls("R9/D1"))
    slow = replace(there.roller("IF"), drawn_diameter_mm=61.0, drive=build_drive(DriveKind.GEAR))
    rollers = tuple(slow if member.id == "IF" else member for member in there.rollers)
    assert driven_slips(replace(there, rollers=rollers)) == ()


def test_a_driven_roller_repeats_by_its_gearing_whatever_it_measures() -> None:
    drive = build_drive(DriveKind.GEAR, turns=2.5)
    drum = roller("D9", Role.DRUM, mm=70.0, cover=None, drawn_diameter_mm=69.2, drive=drive)
    facts = facts_of(press(unit([drum], rolls("D9/F1")))).unit("A").roller("D9")
    # Source: geometry: plate circumference / turns.
    assert facts.repeat_mm == pytest.approx(math.pi * PLATE_MM / 2.5)
    assert facts.turns_per_plate_turn == pytest.approx(2.5)


# (roller diameter, plate diameter) -> turns of roller, turns of plate, walk. Source: arithmetic on pi x diameter.
NEAR = [
    ((60.0, 180.0), (3, 1, 0.0)),
    ((60.5, 180.0), (3, 1, math.pi * 1.5)),
    ((59.5, 180.0), (3, 1, math.pi * -1.5)),
    ((180.0, 180.0), (1, 1, 0.0)),
    ((182.0, 180.0), (1, 1, math.pi * 2.0)),
    ((361.0, 180.0), (1, 2, math.pi * 1.0)),
]


@pytest.mark.parametrize(("diameters", "expected"), NEAR)
def test_ratios_that_are_nearly_whole(diameters: tuple[float, float], expected: tuple[int, int, float]) -> None:
    found = near_whole(math.pi * diameters[0], math.pi * diameters[1])
    assert found is not None
    assert (found.roller_turns, found.plate_turns) == expected[:2]
    assert found.walk_mm == pytest.approx(expected[2], abs=1e-9)


def test_a_50_mm_roller_is_nowhere_near_whole_on_a_173_mm_plate() -> None:
    # Source: arithmetic, 173 / 50 = 3.46.
    assert near_whole(math.pi * 50.0, math.pi * 173.0) is None


@given(roller_mm=st.floats(60, 2000), plate_mm=st.floats(300, 1200), within=st.floats(0.0, 0.2))
def test_near_whole_is_what_it_says(roller_mm: float, plate_mm: float, within: float) -> None:
    found = near_whole(roller_mm, plate_mm, within_turn=within)
    ratio = max(roller_mm, plate_mm) / min(roller_mm, plate_mm)
    off = min(ratio % 1.0, 1.0 - ratio % 1.0)
    assume(abs(off - within) > 1e-12)  # on the very edge rounding decides
    assert (found is not None) == (off < within)
    if found is not None:
        # Going on by whole turns of both leaves the marks walk_mm apart.
        assert found.roller_turns * roller_mm - found.plate_turns * plate_mm == pytest.approx(found.walk_mm, abs=1e-6)


def test_form_rollers_that_come_round_together() -> None:
    third = roller("F3", Role.FORM, mm=53.0)
    there = press(unit([third], rolls("F3/plate", "F3/D1")))
    (pair,) = facts_of(there).unit("A").nearly_equal_forms
    # Source: arithmetic: 54 and 53 mm differ by 1.85 %, 53 and 50 mm by 5.66 %; pi x 1 mm.
    assert {pair.a, pair.b} == {"F1", "F3"}
    assert abs(pair.difference_mm) == pytest.approx(math.pi)
    assert facts_of(there, tolerances=Tolerances(nearly_equal=0.018)).unit("A").nearly_equal_forms == ()
    assert len(facts_of(there, tolerances=Tolerances(nearly_equal=0.08)).unit("A").nearly_equal_forms) == 3


def test_ink_area_beside_the_plate() -> None:
    area = facts_of(press()).unit("A").ink_area
    # Source: geometry by hand, face 340 mm: all pi x (60 + 50 + 66 + 54 + 50) x 340; carrying without 60 and 50;
    # plate (pi x 173 - 90) x 340.
    assert area.all_m2 == pytest.approx(math.pi * 280 * 340 / 1e6)
    assert area.carrying_m2 == pytest.approx(math.pi * 170 * 340 / 1e6)
    assert area.per_plate_area == pytest.approx(math.pi * 170 / (math.pi * 173 - 90))
