"""Marks as people hand them in: too few, out of order, impossible, scattered, from presses hardly known."""

from __future__ import annotations

import math
import random

import pytest

from faults.presses import BENCH_CONTACTS, BENCH_ROLLERS, bench_press, press_of, random_press, unit_text
from filmsplit.faults import Finding, StepKind, match_marks, window_of
from filmsplit.messages import Refusal
from filmsplit.press import Press
from filmsplit.procedures.words import PressState


def _slugs(refused: pytest.ExceptionInfo[Refusal]) -> list[str]:
    return [problem.slug for problem in refused.value.problems]


def _unknown_diameters() -> Press:
    return press_of([unit_text([_forget(roller) for roller in BENCH_ROLLERS], BENCH_CONTACTS, teeth=None)])


def _forget(roller: str) -> str:
    fields = ["diameter_mm: unknown" if field.startswith("diameter_mm") else field for field in roller.split(", ")]
    return ", ".join(fields).replace(", teeth: 24}", "}")


def test_probabilities_add_up_to_one() -> None:
    for marks in ([100.0], [12.0, 181.7], [12.0, 181.7, 351.3], [(1, 30.0), (2, 60.0)]):
        found = match_marks(bench_press(), marks)
        assert sum(one.probability for one in found.ranked) + found.unlisted == pytest.approx(1.0, abs=1e-4)


def test_one_mark_tells_nothing_and_asks_for_a_second() -> None:
    found = match_marks(bench_press(), [100.0])
    assert found.finding is Finding.ONE_MARK
    assert not found.can_tell
    assert [step.kind for step in found.next_steps] == [StepKind.SECOND_MARK]
    assert found.ranked[0].fitted_mm is None


def test_order_of_writing_does_not_matter() -> None:
    sorted_, mixed = (match_marks(bench_press(), m) for m in ([12.0, 181.7, 351.3], [351.3, 12.0, 181.7]))
    assert sorted_ == mixed


def test_only_distances_count_on_one_sheet() -> None:
    here, there = (match_marks(bench_press(), [12.0 + d, 181.7 + d, 351.3 + d]) for d in (0.0, 60.0))
    for one, other in zip(here.ranked, there.ranked, strict=True):
        assert one.suspect == other.suspect
        assert one.probability == pytest.approx(other.probability, abs=1e-9)


def test_only_differences_of_sheet_numbers_count() -> None:
    here, there = (match_marks(bench_press(), [(1 + n, 300.0), (2 + n, 227.7), (3 + n, 155.5)]) for n in (0, 41))
    assert [one.probability for one in here.ranked] == pytest.approx([one.probability for one in there.ranked])


@pytest.mark.parametrize(
    ("marks", "slugs"),
    [
        ([], ["marks-none"]),
        ([-3.0, 100.0], ["mark-negative"]),
        ([-3.0, -4.0], ["mark-negative", "mark-negative"]),
        ([math.nan, 100.0], ["mark-not-a-number"]),
        ([math.inf, 100.0], ["mark-not-a-number"]),
        ([(1.5, 10.0), (2, 20.0)], ["mark-sheet-not-whole"]),
        ([(1, 10.0), (900, 20.0)], ["marks-sheets-apart"]),
        ([10.0, 600.0], ["mark-beyond-plate"]),
        ([float(mm) for mm in range(61)], ["marks-too-many"]),
    ],
)
def test_refuses_what_is_no_set_of_marks(marks: list[float], slugs: list[str]) -> None:
    with pytest.raises(Refusal) as refused:
        match_marks(bench_press(), marks)
    assert _slugs(refused) == slugs


def test_refuses_a_unit_the_press_lacks_and_an_unlikely_reading_error() -> None:
    with pytest.raises(Refusal) as refused:
        match_marks(bench_press(), [1.0, 2.0], unit="Z")
    assert _slugs(refused) == ["unit-not-found"]
    with pytest.raises(Refusal) as refused:
        match_marks(bench_press(), [1.0, 2.0], reading_sd_mm=0.0)
    assert _slugs(refused) == ["reading-error-out-of-range"]


def test_warns_of_a_mark_past_the_end_of_the_sheet() -> None:
    found = match_marks(bench_press(), [12.0, 181.7], sheet_length_mm=150.0)
    assert "mark-beyond-sheet" in [note.slug for note in found.notes]


def test_same_mark_twice_counts_once() -> None:
    found = match_marks(bench_press(), [12.0, 12.0, 181.7])
    assert "mark-twice" in [note.slug for note in found.notes]
    assert len(found.marks) == 2
    assert found.ranked[0].probability == match_marks(bench_press(), [12.0, 181.7]).ranked[0].probability


def test_marks_at_one_travel_on_two_sheets_are_answered() -> None:
    plate_mm = bench_press().units[0].cylinders.plate.circumference_mm
    assert match_marks(bench_press(), [(0, plate_mm), (1, 0.0)]).finding is Finding.NONE_FITS


def test_one_stray_mark_among_four_is_set_aside() -> None:
    found = match_marks(bench_press(), [12.0, 181.7, 351.3, 400.0])
    best = found.ranked[0]
    assert best.suspect.members == ("F1",)
    assert best.stray is not None
    assert best.stray.mm == 400.0


def test_scattered_marks_fit_none() -> None:
    found = match_marks(bench_press(), [20.0, 61.3, 214.9, 333.1, 402.6])
    assert found.finding is Finding.NONE_FITS
    assert found.unlisted > 0.5
    assert found.next_steps[0].kind is StepKind.MORE_MARKS


def test_scattered_marks_are_seldom_pinned_on_a_part() -> None:
    # Invented marks, four at a time and uniform over the sheet, must not be told as a part in more than one of twenty
    # cases (common practice for a false alarm).
    rng = random.Random(8)
    presses = [random_press(rng) for _ in range(20)]
    told = 0
    for _ in range(300):
        press = rng.choice(presses)
        shown = window_of(press, press.units[0]).visible_mm
        told += match_marks(press, [rng.uniform(0, shown) for _ in range(4)], unit=press.units[0].id).can_tell
    assert told <= 15


def test_close_diameters_cannot_be_told_and_the_roller_must_come_out() -> None:
    rollers = [*BENCH_ROLLERS, "id: S2, role: distributor, diameter_mm: 53.6, drive: {kind: friction by spring}"]
    press = press_of([unit_text(rollers, [*BENCH_CONTACTS, "a: S2, b: D1"])])
    found = match_marks(press, [12.0, 181.2, 350.6])
    assert {one.suspect.members for one in found.ranked[:2]} == {("F1",), ("S2",)}
    assert found.finding is Finding.CLOSE
    assert found.separation_sd is not None
    # Error propagation: two turns, difference 2 * pi * 0.4; sd of each repeat pi * 0.3, of two readings 0.5 each.
    expected = 2 * math.pi * 0.4 / math.sqrt(2 * (2 * math.pi * 0.3) ** 2 + 2 * 0.5**2)
    assert found.separation_sd == pytest.approx(expected, rel=1e-6)
    kinds = {step.kind: step.state for step in found.next_steps}
    assert kinds[StepKind.INSPECT] is PressState.ISOLATED
    assert kinds[StepKind.MEASURE_ROLLER] is PressState.OFF_PRESS


def test_next_place_tells_two_suspects_apart() -> None:
    # Geometry: 213.6 mm is one turn of a 68 mm roller or two of R1 (34 mm), which would have marked halfway as well:
    # at 340.4 mm, half a turn of the larger further on, only R1 marks.
    rollers = [*BENCH_ROLLERS, "id: S2, role: distributor, diameter_mm: 68, drive: {kind: friction by spring}"]
    press = press_of([unit_text(rollers, [*BENCH_CONTACTS, "a: S2, b: D1"])])
    found = match_marks(press, [20.0, 233.6])
    assert [one.suspect.members for one in found.ranked[:2]] == [("S2",), ("R1",)]
    step = found.next_steps[0]
    assert step.state is PressState.DESK
    assert step.separation_sd is not None
    assert step.separation_sd > 3
    assert "340." in step.text


def test_steps_that_touch_rollers_are_never_at_the_desk() -> None:
    rng = random.Random(2)
    touching = {StepKind.INSPECT, StepKind.MEASURE_ROLLER}
    for _ in range(40):
        press = random_press(rng)
        for step in match_marks(press, [rng.uniform(0, 300), rng.uniform(0, 300)]).next_steps:
            assert (step.state is PressState.DESK) == (step.kind not in touching)
            assert step.text


def test_rollers_of_unknown_diameter_stay_suspects_but_are_not_told() -> None:
    press = _unknown_diameters()
    assert any(assumption.path[-1] == "diameter_mm" for assumption in press.assumptions)
    found = match_marks(press, [12.0, 181.7, 351.3])
    assert found.ranked[0].suspect.assumed
    assert not found.can_tell
    assert found.ranked[0].diameter_mm == pytest.approx(54.0, abs=0.02)


def test_roller_behind_a_ductor_is_named_as_left_out() -> None:
    found = match_marks(bench_press(), [12.0, 181.7])
    notes = {note.slug: note.values for note in found.notes}
    assert notes["mark-roller-speed-unknown"]["rollers"] == "IF"


def test_two_alike_units_share_the_probability_unless_one_is_named() -> None:
    units = [unit_text(BENCH_ROLLERS, BENCH_CONTACTS, id=id) for id in ("A", "B")]
    press = press_of(units)
    both = match_marks(press, [12.0, 181.7, 351.3])
    assert both.finding is Finding.ALIKE
    assert both.ranked[0].probability == pytest.approx(both.ranked[1].probability)
    one = match_marks(press, [12.0, 181.7, 351.3], unit="B")
    assert one.can_tell
    assert one.ranked[0].suspect.unit == "B"
