"""The image taken off a sheet and laid on again: by NumPy's own turns, and by its area."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.ink.splitting import Array
from filmsplit.studies.sheet_image import Frame, SheetImage

LENGTH, WIDTH = 9, 7


def image_of(coverage: Array) -> SheetImage:
    """One millimetre a cell."""
    rows, columns = coverage.shape
    return SheetImage(coverage=coverage, down_mm=np.arange(rows + 1.0), across_mm=np.arange(columns + 1.0))


def drawn() -> Array:
    """A 4 x 3 image no two cells of which are alike, nearer to the lead edge and to the operator's side."""
    coverage = np.zeros((LENGTH, WIDTH))
    coverage[1:5, 2:5] = np.arange(1, 13).reshape(4, 3) / 12
    return coverage


def on_cells(image: SheetImage) -> Array:
    """Read at the middle of every millimetre."""
    rows, columns = (round(side) for side in image.size_mm)
    down = np.searchsorted(image.down_mm, np.arange(rows) + 0.5) - 1
    across = np.searchsorted(image.across_mm, np.arange(columns) + 0.5) - 1
    return image.coverage[np.ix_(down, across)]


def area_of(image: SheetImage) -> float:
    return float(np.diff(image.down_mm) @ image.coverage @ np.diff(image.across_mm))


def test_half_a_turn_keeps_the_box() -> None:
    image = image_of(drawn())
    wanted = np.zeros((LENGTH, WIDTH))
    wanted[1:5, 2:5] = np.rot90(drawn()[1:5, 2:5], 2)
    np.testing.assert_allclose(on_cells(image.turned(image.frame)), wanted)


@pytest.mark.parametrize(("clockwise", "turns"), [(True, -1), (False, 1)])
def test_a_quarter_turns_the_sheet_too(clockwise: bool, turns: int) -> None:
    image = image_of(drawn())
    lying = image.lying(image.frame, clockwise=clockwise)
    assert lying.size_mm == (WIDTH, LENGTH)
    found = on_cells(lying)
    rows, columns = np.flatnonzero(found.any(axis=1)), np.flatnonzero(found.any(axis=0))
    cut = found[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    # Rows run away from the lead edge, so seen from above with the lead edge on top this is NumPy's own turn.
    np.testing.assert_allclose(cut, np.rot90(drawn()[1:5, 2:5], turns))
    assert rows[0] == 1


def test_a_shift_moves_the_image_only() -> None:
    image = image_of(drawn())
    moved = image.shifted(image.frame, 1.0)
    np.testing.assert_allclose(on_cells(moved), np.roll(drawn(), 1, axis=1))
    with pytest.raises(ValueError, match="does not fit"):
        image.shifted(image.frame, 3.0)


def test_inks_stay_in_register() -> None:
    """Two inks turned within the box of both: their sum turns as one."""
    first, second = np.zeros((LENGTH, WIDTH)), np.zeros((LENGTH, WIDTH))
    first[1:3, 2:4], second[4:6, 3:6] = 0.5, 0.25
    images = [image_of(each) for each in (first, second)]
    frame = images[0].frame.around(images[1].frame)
    together = image_of(first + second)
    summed = sum(on_cells(each.turned(frame)) for each in images)
    np.testing.assert_allclose(summed, on_cells(together.turned(together.frame)))


def test_a_bar_is_solid_and_nothing_else_changes() -> None:
    image = image_of(drawn())
    made = image.with_bar((6.5, 8.0), (2.0, 4.5))
    assert area_of(made) == pytest.approx(area_of(image) + 1.5 * 2.5)
    with pytest.raises(ValueError, match="on image"):
        image.with_bar((4.0, 8.0), (2.0, 4.5))


def test_nothing_is_lost_at_edges_that_are_no_cells() -> None:
    """A frame whose edges fall within cells."""
    image = image_of(drawn())
    frame = Frame(lead_mm=0.3, tail_mm=7.4, operator_mm=0.25, gear_mm=6.5)
    for made in (image.turned(frame), image.shifted(frame, 0.4), image.lying(frame, clockwise=True)):
        assert area_of(made) == pytest.approx(area_of(image))
