"""The small picture of a sheet against its aim: read back with another library (Pillow), dot by dot."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from filmsplit.figures.sheet_steps import BOUNDS, COLOURS, sheet_steps


def test_every_step_has_its_colour_and_the_lead_edge_lies_at_the_bottom() -> None:
    parts = [0.5, 0.85, 0.95, 1.0, 1.05, 1.2, 2.0]
    film = 1.5 * np.array([parts, [0.0] * 7])
    coverage = np.array([[0.1] * 7, [0.0] * 7])
    picture = Image.open(BytesIO(sheet_steps(film, coverage=coverage, aim_um=1.5))).convert("RGB")
    assert picture.size == (7, 2)
    seen = [["#{:02x}{:02x}{:02x}".format(*picture.getpixel((x, y))) for x in range(7)] for y in range(2)]  # type: ignore[misc]
    assert seen[0] == ["#ffffff"] * 7
    assert seen[1] == list(COLOURS)


def test_steps_are_told_apart_on_any_copier() -> None:
    """Each darker than the one before, by the luminance of Rec. ITU-R BT.709."""
    light = [sum(w * int(c[i : i + 2], 16) for w, i in ((0.2126, 1), (0.7152, 3), (0.0722, 5))) for c in COLOURS]
    assert all(a > b + 15 for a, b in pairwise(light))
    assert len(COLOURS) == len(BOUNDS) + 1


@pytest.mark.parametrize(
    ("film", "coverage", "aim"),
    [
        (np.ones((2, 2)), np.ones((2, 3)), 1.0),
        (np.ones((2, 2)), np.ones((2, 2)), 0.0),
        (np.full((1, 1), np.nan), np.ones((1, 1)), 1.0),
    ],
)
def test_what_is_no_sheet_is_not_drawn(film: np.ndarray, coverage: np.ndarray, aim: float) -> None:
    with pytest.raises(ValueError, match=r"needs a film|must be a number"):
        sheet_steps(film, coverage=coverage, aim_um=aim)
