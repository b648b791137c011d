"""Marks at a distance against figures from outside: geometry that anybody can redo with a ruler."""

from __future__ import annotations

import math

import pytest

from faults.presses import BENCH_CONTACTS, BENCH_ROLLERS, bench_press, press_of, unit_text
from filmsplit.faults import Finding, Rule, SuspectKind, match_marks, places_of, suspects_of, walks_of
from filmsplit.press import Press
from filmsplit.press.gears import surface_pitch_mm


def _with_drum(drum: str, *, teeth: int | None = 64) -> Press:
    rollers = [drum if roller.startswith("id: D1") else roller for roller in BENCH_ROLLERS]
    return press_of([unit_text(rollers, BENCH_CONTACTS, teeth=teeth)])


def test_three_marks_are_a_54_mm_roller() -> None:
    # Geometry: (351.3 - 12.0) / 2 / pi = 54.0 mm; exact, so to the rounding of the marks (0.1 mm / 2 / pi).
    found = match_marks(bench_press(), [12.0, 181.7, 351.3])
    best = found.ranked[0]
    assert best.suspect.members == ("F1",)
    assert best.rule is Rule.ONE_TURN
    assert best.counts == (0, 1, 2)
    assert best.fitted_mm == pytest.approx(169.65, abs=0.01)
    assert best.diameter_mm == pytest.approx(54.0, abs=0.02)
    # Two readings 0.5 mm out each, over two turns: 0.5 * sqrt(2) / 2 / pi (geometry and error propagation).
    assert best.diameter_sd_mm == pytest.approx(0.5 * math.sqrt(2) / 2 / math.pi, rel=1e-6)
    assert found.finding is Finding.TOLD
    assert found.can_tell


def test_walk_of_a_50_mm_roller_on_a_173_mm_plate() -> None:
    # Geometry: pi * 173 = 543.5 mm; three turns of 157.08 mm fall 72.3 mm short of it, four are 84.8 mm past.
    places = places_of(bench_press(), "F2", first_mm=300.0)
    assert bench_press().units[0].cylinders.plate.circumference_mm == pytest.approx(543.5, abs=0.05)
    short, past = places.walks
    assert (short.turns, short.sheets) == (3, 1)
    assert short.shift_mm == pytest.approx(-72.3, abs=0.05)
    assert (past.turns, past.sheets) == (4, 1)
    assert past.shift_mm == pytest.approx(84.8, abs=0.05)


def test_walks_of_54_mm_and_of_a_roller_that_stands_still() -> None:
    # Geometry: 3 * pi * 54 - pi * 173 = -34.6 mm; a third of the plate's circumference comes back to the same place.
    assert walks_of(math.pi * 54, 0.0, math.pi * 173)[0].shift_mm == pytest.approx(-34.56, abs=0.01)
    still = walks_of(math.pi * 173 / 3, 0.0, math.pi * 173)
    assert [(walk.turns, walk.sheets) for walk in still] == [(3, 1)]
    assert still[0].shift_mm == pytest.approx(0.0, abs=1e-6)


def test_walk_of_a_part_slower_than_the_plate_counts_sheets() -> None:
    # Geometry: 2.4 plate turns are 0.4 of a turn past the second sheet, 0.6 short of the third.
    short, past = walks_of(2.4 * 500.0, 0.0, 500.0)
    assert (short.turns, short.sheets, short.shift_mm) == (1, 2, pytest.approx(200.0))
    assert (past.turns, past.sheets, past.shift_mm) == (1, 3, pytest.approx(-300.0))


@pytest.mark.parametrize("measured_mm", [64.0, 65.0, 66.5])
def test_geared_roller_repeats_by_its_teeth_whatever_its_diameter(measured_mm: float) -> None:
    # Geometry: plate circumference x 24/64; a driven roller's surface slips, its turns do not.
    press = _with_drum(f"id: D1, role: drum, diameter_mm: {measured_mm}, drive: {{kind: gear, teeth: 24}}")
    repeat = math.pi * 173.0 * 24 / 64
    drum = next(one for one in suspects_of(press, press.units[0]) if one.members == ("D1",))
    assert drum.repeat_mm == pytest.approx(repeat, rel=1e-9)
    assert drum.sd_mm == 0.0
    found = match_marks(press, [10.0, 10.0 + repeat, 10.0 + 2 * repeat])
    assert found.ranked[0].suspect.members == ("D1",)


def test_friction_driven_roller_repeats_by_its_diameter_only_nearly() -> None:
    # Parish 1958 (memory): a soft roller in a nip runs only nearly at pi x its measured diameter.
    press = bench_press()
    form = next(one for one in suspects_of(press, press.units[0]) if one.members == ("F1",))
    assert form.repeat_mm == pytest.approx(math.pi * 54)
    assert form.sd_mm == pytest.approx(math.pi * 0.3)


def test_gear_streaks() -> None:
    # Geometry: pi * 191 / 96 = 6.25 mm, so 16 bars in 100 mm.
    pitch = surface_pitch_mm(191.0, teeth=96)
    assert pitch == pytest.approx(6.25, abs=0.005)
    assert round(100 / pitch) == 16
    press = press_of([unit_text(BENCH_ROLLERS[:2], BENCH_CONTACTS[:2], plate_mm=191.0, teeth=96)])
    found = match_marks(press, [10 + count * 6.25 for count in range(5)])
    best = found.ranked[0]
    assert best.suspect.kind is SuspectKind.GEARS
    assert best.rule is Rule.TOOTH_PITCH
    assert best.expected_mm == pytest.approx(6.25, abs=0.005)


def test_gears_in_mesh_share_one_pitch() -> None:
    # Geometry: meshing gears pass the same teeth; a 24-tooth gear turns 64/24 times, (173 pi 24/64)/24 = 173 pi/64.
    gears = [one for one in suspects_of(bench_press(), bench_press().units[0]) if one.kind is SuspectKind.GEARS]
    assert [one.members for one in gears] == [("plate", "D1")]
    assert gears[0].repeat_mm == pytest.approx(math.pi * 173 / 64)


def test_tooth_pitch_does_not_win_by_flexibility() -> None:
    # Geometry: 40 teeth of 8.49 mm also make 339.7 mm; 38 bars passed over do not speak for them.
    found = match_marks(bench_press(), [12.0, 12.0 + 20 * 8.4922, 12.0 + 40 * 8.4922])
    gears = [one for one in found.ranked if one.suspect.kind is SuspectKind.GEARS]
    assert sum(one.probability for one in gears) < 0.001


def test_slow_roller_behind_a_slip_repeats_further_apart() -> None:
    # Geometry: at half press speed a mark comes round after twice the circumference in travel.
    rollers = [*BENCH_ROLLERS, "id: M, role: metering, system: dampening, diameter_mm: 40, drive: {kind: own motor}"]
    slip = "a: M, b: F1, kind: slips, speed_ratio: 0.5"
    press = press_of([unit_text(rollers, [*BENCH_CONTACTS, slip])])
    slow = next(one for one in suspects_of(press, press.units[0]) if one.members == ("M",))
    assert slow.repeat_mm == pytest.approx(2 * math.pi * 40)
    start = 20.0
    found = match_marks(press, [(0, start), (0, start + slow.repeat_mm)], unit="A")
    best = next(one for one in found.ranked if one.suspect.members == ("M",))
    assert best.diameter_mm == pytest.approx(40.0)


def test_once_a_plate_turn_is_the_same_place_on_every_sheet() -> None:
    # Geometry: plate, blanket and a single impression cylinder turn once a sheet; distances cannot tell them apart.
    found = match_marks(bench_press(), [(1, 100.0), (2, 100.0), (3, 100.0)])
    together = {one.suspect.kind for one in found.ranked[:4]}
    assert together == {SuspectKind.PLATE, SuspectKind.BLANKET, SuspectKind.IMPRESSION, SuspectKind.GAP}
    assert found.finding is Finding.ALIKE
    assert not found.can_tell
    assert len(found.ranked[0].alike) == 3


def test_every_second_sheet_is_a_double_impression_cylinder() -> None:
    # Geometry: an impression cylinder of twice the size turns once in two sheets.
    unit = unit_text(BENCH_ROLLERS[:6], BENCH_CONTACTS[:7], impression_mm=345.0)
    found = match_marks(press_of([unit]), [(1, 100.0), (3, 100.2), (5, 99.9), (7, 100.1)])
    assert found.ranked[0].suspect.kind is SuspectKind.IMPRESSION


def test_ductor_and_oscillator_beat_in_sheets() -> None:
    # Geometry: a ductor of 3 plate turns marks every third sheet; an oscillation of 2.4 walks 0.4 of a plate turn.
    ductor = match_marks(bench_press(), [(1, 60.0), (4, 60.3), (7, 59.8), (10, 60.0)])
    assert ductor.ranked[0].suspect.kind is SuspectKind.DUCTOR_CYCLE
    plate_mm = math.pi * 173
    beats = [50.0 + count * 2.4 * plate_mm for count in range(6)]
    marks = [(int(place // plate_mm), place % plate_mm) for place in beats if place % plate_mm < 450]
    swing = match_marks(bench_press(), marks)
    assert swing.ranked[0].suspect.kind is SuspectKind.OSCILLATOR_CYCLE


def test_walking_mark_followed_from_sheet_to_sheet() -> None:
    # Geometry: 72.3 mm back a sheet is three turns of a 50 mm roller on this plate.
    found = match_marks(bench_press(), [(1, 300.0), (2, 227.7), (3, 155.5)])
    best = found.ranked[0]
    assert best.suspect.members == ("F2",)
    assert best.rule is Rule.FOLDED
    assert best.counts == (0, 3, 6)


def test_trace_of_the_sheet_before_on_one_sheet() -> None:
    # Geometry: on one sheet a 50 mm roller's mark of the turn before stands 72.3 mm off, besides its 157.1 mm repeat.
    found = match_marks(bench_press(), [100.0, 172.3, 257.1, 329.4])
    best = found.ranked[0]
    assert best.suspect.members == ("F2",)
    assert best.rule is Rule.FOLDED
    assert best.traces


def test_trace_may_be_the_mark_nearest_the_lead_edge() -> None:
    # Geometry: four turns of 157.08 mm after a trace at 100 mm the roller marks 84.8 mm further on, then once a turn.
    found = match_marks(bench_press(), [100.0, 184.8, 341.9])
    best = found.ranked[0]
    assert best.suspect.members == ("F2",)
    assert best.traces
    assert best.counts == (0, 4, 5)


def test_every_second_turn_only() -> None:
    # Geometry: 2 x 106.8 mm; no other roller of the bench repeats by 213.6 mm (the drum: 203.8).
    found = match_marks(bench_press(), [5.0, 218.6, 432.3])
    best = found.ranked[0]
    assert best.suspect.members == ("R1",)
    assert best.rule is Rule.SEVERAL_TURNS or best.counts == (0, 2, 4)
