"""Copies as listed lie where ``place`` puts the image: the same geometry, worked out twice."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.artwork import CoverageMap, Frame, Placement, Plate, Sheet, Source, StepAndRepeat, Turn, WorkStyle, place
from filmsplit.artwork.copies import copies

PICTURE_MM = (50.0, 30.0)
PLATE = Plate.even(400.0, 300.0, gap_mm=40.0)
SHEET = Sheet(length_mm=300.0, width_mm=240.0, lead_mm=10.0, side_mm=30.0, gripper_mm=10.0)
REPEAT = StepAndRepeat(times_round=2, times_across=2, step_round_mm=60.0, step_across_mm=55.0)


def picture(top_only: bool = False) -> CoverageMap:
    """All image, or only its uppermost millimetre."""
    shares = np.ones((50, 30))
    if top_only:
        shares[1:] = 0.0
    return CoverageMap(
        ink="black",
        coverage=shares,
        round_edges_mm=np.arange(51.0),
        across_edges_mm=np.arange(31.0),
        frame=Frame.PICTURE,
        source=Source(file="made", kind="made"),
    )


@pytest.mark.parametrize("style", WorkStyle)
@pytest.mark.parametrize("turn", Turn)
def test_copies_cover_just_what_is_printed(turn: Turn, style: WorkStyle) -> None:
    placement = Placement(sheet=SHEET, lead_mm=15.0, side_mm=5.0, turn=turn, repeat=REPEAT, style=style)
    placed, _ = place(picture(), placement, PLATE)
    expected = np.zeros_like(placed.coverage)
    found = copies(placement, PICTURE_MM)
    for copy in found:
        rows = slice(round(copy.lead_mm), round(copy.lead_mm + copy.round_mm))
        columns = slice(round(copy.side_mm), round(copy.side_mm + copy.across_mm))
        expected[rows, columns] += 1.0
    assert np.array_equal(expected, placed.coverage)
    assert sum(copy.back for copy in found) == (0 if style is WorkStyle.SHEETWISE else 4)


@pytest.mark.parametrize("style", WorkStyle)
@pytest.mark.parametrize("turn", Turn)
def test_the_top_looks_where_it_is_said_to(turn: Turn, style: WorkStyle) -> None:
    """Only the uppermost line of the picture is image: it must lie at the named side of each copy."""
    placement = Placement(sheet=SHEET, lead_mm=15.0, side_mm=5.0, turn=turn, style=style)
    placed, _ = place(picture(top_only=True), placement, PLATE)
    for copy in copies(placement, PICTURE_MM):
        lead, side = round(copy.lead_mm), round(copy.side_mm)
        tail, far = lead + round(copy.round_mm), side + round(copy.across_mm)
        edge = {
            0: placed.coverage[lead, side:far],
            90: placed.coverage[lead:tail, far - 1],
            180: placed.coverage[tail - 1, side:far],
            270: placed.coverage[lead:tail, side],
        }[copy.top_deg]
        assert (edge == 1.0).all()


def test_without_a_sheet_places_count_from_the_plate() -> None:
    (copy,) = copies(Placement(lead_mm=12.0, side_mm=7.0), PICTURE_MM)
    assert (copy.lead_mm, copy.side_mm, copy.round_mm, copy.across_mm) == (12.0, 7.0, 50.0, 30.0)
