"""Where a mark will fall, against turning the rollers turn by turn."""

from __future__ import annotations

import math

import pytest

from faults.presses import BENCH_CONTACTS, BENCH_ROLLERS, bench_press, press_of, unit_text
from filmsplit.faults import Seen, places_of
from filmsplit.messages import Refusal


def test_places_follow_the_surface_turn_by_turn() -> None:
    # Geometry: step on by pi * 50 from 300 mm and fold by pi * 173; 450 mm of each turn is paper, the last 88 mm gap.
    found = places_of(bench_press(), "F2", first_mm=300.0, sheets=3)
    around, turn = math.pi * 173, math.pi * 50
    expected = []
    travel = 300.0
    while travel < 3 * around:
        expected.append((int(travel // around) + 1, travel % around))
        travel += turn
    assert [place.sheet for place in found.places] == [sheet for sheet, _ in expected]
    assert [place.mm for place in found.places] == pytest.approx([mm for _, mm in expected])
    assert [place.sd_mm for place in found.places] == pytest.approx([n * math.pi * 0.3 for n in range(len(expected))])
    assert [place.seen for place in found.places] == [_seen(mm, around) for _, mm in expected]
    assert all(place.mm <= 450 for place in found.seen)


def _seen(mm: float, around: float) -> Seen:
    if mm > around - 88:
        return Seen.IN_GAP
    return Seen.ON_SHEET if mm <= 450 else Seen.BEYOND_SHEET


def test_next_sheet_shows_the_walk() -> None:
    # Geometry: three turns of a 50 mm roller on a 173 mm plate bring 300 mm to 227.7 mm on the next sheet.
    second = [place.mm for place in places_of(bench_press(), "F2", first_mm=300.0).places if place.sheet == 2]
    assert min(abs(mm - 227.7) for mm in second) < 0.1


def test_short_sheet_ends_before_the_gap() -> None:
    found = places_of(bench_press(), "F2", first_mm=10.0, sheets=1, sheet_length_mm=200.0)
    assert [place.seen for place in found.places] == [
        Seen.ON_SHEET,
        Seen.ON_SHEET,
        Seen.BEYOND_SHEET,
        Seen.IN_GAP,
    ]


def test_plate_marks_the_same_place_and_a_geared_drum_has_no_error() -> None:
    assert [place.mm for place in places_of(bench_press(), "plate", first_mm=300.0).places] == pytest.approx(
        [300.0] * 3
    )
    assert all(place.sd_mm == 0.0 for place in places_of(bench_press(), "D1", first_mm=300.0).places)


@pytest.mark.parametrize(
    ("member", "options", "slug"),
    [
        ("F9", {"first_mm": 10.0}, "mark-no-member"),
        ("F1", {"first_mm": -1.0}, "mark-negative"),
        ("F1", {"first_mm": 480.0}, "mark-first-not-on-sheet"),
        ("F1", {"first_mm": 10.0, "sheets": 0}, "mark-sheets-out-of-range"),
        ("F1", {"first_mm": 10.0, "unit": "Z"}, "unit-not-found"),
        ("IF", {"first_mm": 10.0}, "mark-no-repeat-known"),
    ],
)
def test_refusals(member: str, options: dict[str, object], slug: str) -> None:
    with pytest.raises(Refusal) as refused:
        places_of(bench_press(), member, **options)  # type: ignore[arg-type]
    assert [problem.slug for problem in refused.value.problems] == [slug]


def test_a_roller_in_two_units_must_be_told_by_its_unit() -> None:
    press = press_of([unit_text(BENCH_ROLLERS, BENCH_CONTACTS, id=id) for id in ("A", "B")])
    with pytest.raises(Refusal) as refused:
        places_of(press, "F1", first_mm=10.0)
    assert [problem.slug for problem in refused.value.problems] == ["mark-which-unit"]
    assert places_of(press, "F1", first_mm=10.0, unit="B").suspect.unit == "B"
