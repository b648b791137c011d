"""Maps on the plate: area is conserved, turns and repeats come where geometry puts them, nothing is lost in silence."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmsplit.artwork import (
    CoverageMap,
    Frame,
    Placement,
    Plate,
    PlateCurve,
    Sheet,
    Source,
    StepAndRepeat,
    Turn,
    WorkStyle,
    doubts,
    place,
    zone_cuts,
    zone_totals,
)
from filmsplit.messages import Refusal

SOURCE = Source(file="made.tif", kind="made for a test")


def picture(shares: object, round_mm: object = None, across_mm: object = None) -> CoverageMap:
    """A map in its picture's frame; cells of 10 mm unless told."""
    cells = np.asarray(shares, dtype=float)
    edges = [np.arange(size + 1) * 10.0 for size in cells.shape]
    return CoverageMap(
        ink="black",
        coverage=cells,
        round_edges_mm=edges[0] if round_mm is None else np.asarray(round_mm, dtype=float),
        across_edges_mm=edges[1] if across_mm is None else np.asarray(across_mm, dtype=float),
        frame=Frame.PICTURE,
        source=SOURCE,
    )


PLATE = Plate.even(500.0, 360.0, gap_mm=50.0, cell_mm=2.0)
L_SHAPE = [[1.0, 0.0, 0.0], [0.5, 0.0, 0.25]]


def slugs(refused: pytest.ExceptionInfo[Refusal]) -> list[str]:
    return [problem.slug for problem in refused.value.problems]


def at(placed: CoverageMap, lead_mm: float, side_mm: float) -> float:
    """Coverage of the cell that holds a point of the plate."""
    row = np.searchsorted(placed.round_edges_mm, lead_mm, side="right") - 1
    column = np.searchsorted(placed.across_edges_mm, side_mm, side="right") - 1
    return float(placed.coverage[row, column])


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    seed=st.integers(0, 10**6),
    turn=st.sampled_from(Turn),
    mirrored=st.booleans(),
    lead=st.floats(0, 120),
    side=st.floats(0, 120),
)
def test_area_is_conserved_wherever_the_work_lies(
    seed: int, turn: Turn, mirrored: bool, lead: float, side: float
) -> None:
    """Every square millimetre of image arrives (conservation; exact but for rounding)."""
    rng = np.random.default_rng(seed)
    edges = [np.cumsum(rng.uniform(0.3, 12.0, size)) for size in (17, 23)]
    artwork = picture(rng.random((16, 22)), *edges)
    placed, _ = place(artwork, Placement(lead_mm=lead, side_mm=side, turn=turn, mirrored=mirrored), PLATE)
    assert placed.inked_mm2 == pytest.approx(artwork.inked_mm2, rel=1e-12)
    assert 0 <= placed.coverage.min() <= placed.coverage.max() <= 1


@pytest.mark.parametrize(
    ("turn", "full", "half", "quarter"),
    [
        # Middles of the cells with 1, 0.5 and 0.25 after turning the 20 x 30 mm picture clockwise (geometry).
        (Turn.NONE, (5, 5), (15, 5), (15, 25)),
        (Turn.QUARTER, (5, 15), (5, 5), (25, 5)),
        (Turn.HALF, (15, 25), (5, 25), (5, 5)),
        (Turn.THREE_QUARTERS, (25, 5), (25, 15), (5, 15)),
    ],
)
def test_turns(turn: Turn, full: tuple[int, int], half: tuple[int, int], quarter: tuple[int, int]) -> None:
    placed, _ = place(picture(L_SHAPE), Placement(lead_mm=100, side_mm=200, turn=turn), PLATE)
    assert [at(placed, 100 + lead, 200 + side) for lead, side in (full, half, quarter)] == [1.0, 0.5, 0.25]


def test_declared_mirrored_and_negative() -> None:
    placed, _ = place(picture(L_SHAPE), Placement(mirrored=True), PLATE)
    assert [at(placed, 5, 25), at(placed, 15, 25), at(placed, 15, 5)] == [1.0, 0.5, 0.25]
    placed, _ = place(picture(L_SHAPE), Placement(negative=True), PLATE)
    assert [at(placed, 5, 5), at(placed, 15, 5), at(placed, 15, 25), at(placed, 5, 15)] == [0.0, 0.5, 0.75, 1.0]
    assert placed.inked_mm2 == pytest.approx(600 - 175)


def test_step_and_repeat_adds_copies() -> None:
    repeat = StepAndRepeat(times_round=3, times_across=2, step_round_mm=50.0, step_across_mm=40.5)
    placed, _ = place(picture(L_SHAPE), Placement(lead_mm=10, side_mm=20, repeat=repeat), PLATE)
    assert placed.inked_mm2 == pytest.approx(6 * 175.0)
    assert at(placed, 10 + 100 + 5, 20 + 40.5 + 5) == pytest.approx(1.0)


SHEET = Sheet(length_mm=400.0, width_mm=300.0, lead_mm=20.0, side_mm=30.0, gripper_mm=10.0)


def test_work_and_turn_puts_the_back_behind_the_front() -> None:
    """The sheet keeps its lead edge and changes sides: from the middle of the sheet both lie alike (geometry)."""
    placement = Placement(sheet=SHEET, lead_mm=15, side_mm=12, style=WorkStyle.WORK_AND_TURN)
    placed, _ = place(picture(L_SHAPE), placement, PLATE)
    assert at(placed, 20 + 15 + 5, 30 + 12 + 5) == 1.0
    back_side = 30 + 300 - 12 - 30  # its drive-side edge is as far from the far edge of the sheet
    assert at(placed, 20 + 15 + 5, back_side + 5) == pytest.approx(1.0)
    assert at(placed, 20 + 15 + 15, back_side + 25) == pytest.approx(0.25)
    assert placed.inked_mm2 == pytest.approx(2 * 175.0)


def test_work_and_tumble_puts_the_back_on_its_head_at_the_tail() -> None:
    placement = Placement(sheet=SHEET, lead_mm=15, side_mm=12, style=WorkStyle.WORK_AND_TUMBLE)
    placed, _ = place(picture(L_SHAPE), placement, PLATE)
    tail = 20 + 400 - 15
    assert at(placed, tail - 5, 30 + 12 + 25) == pytest.approx(1.0)
    assert at(placed, tail - 15, 30 + 12 + 5) == pytest.approx(0.25)


def test_another_back_is_laid_where_the_same_would_be() -> None:
    placement = Placement(sheet=SHEET, lead_mm=15, side_mm=12, style=WorkStyle.WORK_AND_TURN)
    placed, _ = place(picture(L_SHAPE), placement, PLATE, back=picture([[0.1]]))
    assert placed.inked_mm2 == pytest.approx(175 + 10)
    assert at(placed, 20 + 15 + 5, 30 + 300 - 12 - 5) == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("placement", "slug"),
    [
        (Placement(lead_mm=431.0), "artwork-off-the-plate"),  # 431 + 20 > 500 - 50 of gap
        (Placement(side_mm=331.0), "artwork-off-the-plate"),
        (Placement(lead_mm=-1.0), "artwork-off-the-plate"),
        (Placement(sheet=SHEET, side_mm=271.0), "artwork-off-the-sheet"),
        (Placement(repeat=StepAndRepeat(times_across=2, step_across_mm=29.0)), "artwork-repeats-overlap"),
        (Placement(style=WorkStyle.WORK_AND_TURN), "artwork-style-without-sheet"),
        (Placement(sheet=SHEET, side_mm=130, style=WorkStyle.WORK_AND_TURN), "artwork-repeats-overlap"),
    ],
)
def test_what_cannot_be_is_refused(placement: Placement, slug: str) -> None:
    with pytest.raises(Refusal) as refused:
        place(picture(L_SHAPE), placement, PLATE)
    assert slug in slugs(refused)
    assert all(problem.what and problem.remedy for problem in refused.value.problems)


def test_work_just_as_large_as_the_plate_fits_and_blank_paper_may_lie_anywhere() -> None:
    placed, problems = place(picture([[0.3]], [0, 450], [0, 360]), Placement(), PLATE)
    assert not problems
    assert placed.inked_mm2 == pytest.approx(0.3 * 450 * 360)
    wide = picture([[0.0, 0.5, 0.0]], [0, 100], [0, 300, 400, 900])
    placed, problems = place(wide, Placement(side_mm=-200), PLATE)
    assert not problems
    assert placed.inked_mm2 == pytest.approx(wide.inked_mm2)


def test_image_under_the_grippers_is_told() -> None:
    _, problems = place(picture(L_SHAPE), Placement(sheet=SHEET, lead_mm=9.0), PLATE)
    assert [problem.slug for problem in problems] == ["artwork-under-the-grippers"]
    assert "9" in problems[0].what


def test_nothing_prints_in_the_gap() -> None:
    placed, _ = place(picture([[1.0]], [0, 450], [0, 360]), Placement(), PLATE)
    in_gap = placed.round_edges_mm[:-1] >= 450
    assert placed.coverage[in_gap].max() == 0
    assert placed.coverage[~in_gap].min() == pytest.approx(1)


ZONES = np.arange(13) * 30.0


@pytest.mark.parametrize("turn", Turn)
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("style", WorkStyle)
def test_cuts_make_zone_sums_exact(turn: Turn, mirrored: bool, style: WorkStyle) -> None:
    """Dots of 0.1 mm at random, cut at the zones against cut at a place in between: equal to the sum over dots."""
    rng = np.random.default_rng(11)
    dots = (rng.random((700, 900)) < rng.random((1, 900))).astype(float)
    fine = picture(dots, np.arange(701) * 0.1, np.arange(901) * 0.1)
    placement = Placement(sheet=SHEET, lead_mm=17.3, side_mm=21.7, turn=turn, mirrored=mirrored, style=style)
    cuts = zone_cuts(placement, ZONES, picture_mm=(70.0, 90.0))
    edges = [
        np.unique(np.rint(10 * np.concatenate(([0, size], np.arange(7, size, 13.0), cut))))
        for size, cut in zip((70.0, 90.0), cuts, strict=True)
    ]
    rows, columns = (each.astype(int) for each in edges)
    sums = np.add.reduceat(np.add.reduceat(dots, rows[:-1], axis=0), columns[:-1], axis=1)
    coarse = picture(sums / np.outer(np.diff(rows), np.diff(columns)), rows * 0.1, columns * 0.1)
    exact, cut = (zone_totals(place(each, placement, PLATE_FINE)[0], ZONES) for each in (fine, coarse))
    np.testing.assert_allclose(cut.inked_mm2, exact.inked_mm2, atol=1e-6)


PLATE_FINE = Plate(round_edges_mm=np.linspace(0, 500, 51), across_edges_mm=ZONES, gap_mm=50.0)


def test_zone_totals_refer_to_the_length_told_and_name_what_no_zone_feeds() -> None:
    artwork = picture([[1.0, 0.0, 0.5, 1.0]], [0, 100], [0, 30, 60, 90, 100])
    totals = zone_totals(artwork, [0, 30, 60, 90], round_mm=400.0)
    np.testing.assert_allclose(totals.inked_mm2, [3000, 0, 1500])
    np.testing.assert_allclose(totals.coverage, [0.25, 0, 0.125])
    assert totals.outside_mm2 == pytest.approx(1000)


def test_a_negative_is_asked_about_and_never_turned_over() -> None:
    solid = picture([[0.9, 0.8]])
    assert [problem.slug for problem in doubts(solid)] == ["artwork-perhaps-negative"]
    assert "85 %" in doubts(solid)[0].what
    assert not doubts(picture([[0.3, 0.2]]))
    assert [problem.slug for problem in doubts(picture([[0.0]]))] == ["artwork-empty"]
    placed, _ = place(picture([[0.1]]), Placement(negative=True), Plate.even(20, 10, gap_mm=1, cell_mm=1))
    assert not doubts(placed), "declared by the person: not asked again"


def test_a_plate_curve_rises_from_0_to_100() -> None:
    curve = PlateCurve.from_percents([(50, 58), (25, 30)])
    np.testing.assert_allclose(curve([0, 0.25, 0.375, 0.5, 1]), [0, 0.30, 0.44, 0.58, 1])
    for pairs in ([(50, 58), (60, 40)], [(0, 5)], [(100, 90)], [(50, float("nan"))], [(120, 130)]):
        with pytest.raises(Refusal) as refused:
            PlateCurve.from_percents(pairs)
        assert slugs(refused) == ["plate-curve-not-rising"]


def test_nothing_writes_into_a_map() -> None:
    cells = np.array([[0.5]])
    artwork = picture(cells)
    with pytest.raises(ValueError, match="read-only"):
        artwork.coverage[0, 0] = 1
    cells[0, 0] = 0.1
    assert artwork.coverage[0, 0] == 0.5


@pytest.mark.parametrize("bad", [[[1.1]], [[-0.1]], [[float("nan")]], [], [[0.5, 0.5, 0.5]]])
def test_numbers_that_are_no_map_are_an_error(bad: object) -> None:
    with pytest.raises(ValueError, match=r"coverage|cells"):
        picture(bad, [0, 1], [0, 1])


def test_what_was_done_can_be_read() -> None:
    placement = Placement(lead_mm=5, turn=Turn.HALF, mirrored=True, negative=True)
    placed, _ = place(picture([[0.5]]), placement, PLATE)
    repeat = StepAndRepeat(times_round=2, step_round_mm=60.0)
    twice = Placement(sheet=SHEET, lead_mm=15, style=WorkStyle.WORK_AND_TURN, repeat=repeat)
    assert [step.text for step in place(picture([[0.5]]), twice, PLATE)[0].steps[1:]] == [
        "laid 2 times on the plate",
        "front and back on one plate: work and turn",
    ]
    told = " / ".join(step.text for step in placed.steps)
    assert "negative" in told
    assert "180" in told
    assert "5" in told
