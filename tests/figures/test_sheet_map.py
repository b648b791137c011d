"""The film map: means that are means, steps that get darker, lines where the film passes a value."""

from __future__ import annotations

import math
import re
from base64 import b64decode
from io import BytesIO
from itertools import pairwise
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from figures.film_cases import UNITS, answers_for
from figures.test_looks import grey_value
from filmsplit.figures.contours import contour
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import Subject
from filmsplit.figures.png import palette_png
from filmsplit.figures.raster import to_png
from filmsplit.figures.sheet_field import coarser, field_of
from filmsplit.figures.sheet_map import MOST_DOTS, MOST_STEPS, colours_of, draw_sheet_map, extreme_boxes, plot_of

SUBJECT = Subject("Small press")
SIZE = {"length_mm": 360.0, "width_mm": 520.0}


def picture_in(drawing: Drawing) -> Image.Image:
    found = re.search(r"base64,([^\"]+)", drawing.svg)
    assert found is not None
    return Image.open(BytesIO(b64decode(found[1])))


def ramp(rows: int = 36, columns: int = 52) -> np.ndarray:
    """Film rises from the operator's side to the gear side."""
    return np.broadcast_to(np.linspace(0.5, 1.5, columns), (rows, columns)).copy()


@pytest.mark.parametrize("steps", range(2, MOST_STEPS + 3))
def test_every_step_is_clearly_darker_than_the_one_before(steps: int) -> None:
    """As a grey copier sees it (luma of ITU-R BT.601); the palest still differs from white paper."""
    greys = [grey_value(colour) for colour in ("#ffffff", *colours_of(steps))]
    assert all(a - b > 12 for a, b in pairwise(greys))


def test_png_is_read_as_written_by_an_independent_reader() -> None:
    colours = ["#ffffff", "#112233", "#00ff00"]
    picture = Image.open(BytesIO(palette_png([b"\x00\x01", b"\x02\x01"], colours))).convert("RGB")
    assert [picture.getpixel(at) for at in ((0, 0), (1, 0), (0, 1))] == [(255, 255, 255), (17, 34, 51), (0, 255, 0)]
    with pytest.raises(ValueError, match="colour"):
        palette_png([b"\x05"], colours)
    with pytest.raises(ValueError, match="rows"):
        palette_png([], colours)


def test_operator_side_is_left_and_lead_edge_is_at_the_bottom() -> None:
    film = np.ones((4, 6))
    film[0, 0] = 5.0
    picture = picture_in(draw_sheet_map(SUBJECT, film, **SIZE)).convert("L")
    assert picture.size == (6, 4)
    assert picture.getpixel((0, 3)) < min(picture.getpixel((5, 3)), picture.getpixel((0, 0)))
    field = field_of(film, coverage=None, size_mm=(360.0, 520.0))
    assert (field.largest.um, field.largest.along_mm) == (5.0, 45.0)
    assert field.largest.across_mm == pytest.approx(520 / 12)


def test_more_film_is_darker_everywhere() -> None:
    row = [picture_in(draw_sheet_map(SUBJECT, ramp(), **SIZE)).convert("L").getpixel((x, 5)) for x in range(52)]
    assert row == sorted(row, reverse=True)
    assert len(set(row)) >= 4


def test_coarser_cells_are_means_over_the_image() -> None:
    """By hand: 2 x 2 blocks; a cell without image does not count; the whole keeps its ink."""
    film = np.array([[1.0, 2.0, 9.0, 9.0], [3.0, 6.0, 1.0, 5.0]])
    cover = np.array([[1, 1, 0, 0], [1, 1, 1, 1]])
    small = coarser(field_of(film, coverage=cover, size_mm=(2.0, 4.0)), 2)
    assert small.film_um.tolist() == [[3.0, 3.0]]
    rng = np.random.default_rng(3)
    many = field_of(rng.uniform(0.1, 2.0, (700, 910)), coverage=None, size_mm=(70.0, 91.0))
    few = coarser(many, 91)
    assert few.film_um.shape == (70, 91)
    assert few.film_um.mean() == pytest.approx(many.film_um.mean())


def test_a_large_sheet_makes_a_small_file_and_says_what_a_dot_is() -> None:
    rows, columns = np.mgrid[0:720, 0:1020]
    film = 1 + 0.2 * np.sin(rows / 90) * np.cos(columns / 130) + 0.02 * np.random.default_rng(1).normal(size=rows.shape)
    drawing = draw_sheet_map(SUBJECT, film, length_mm=720.0, width_mm=1020.0)
    assert len(drawing.svg) < 1_000_000
    assert max(picture_in(drawing).size) <= MOST_DOTS
    assert "1.7 mm from lead to tail and 1.7 mm across" in drawing.svg


def test_lines_lie_where_the_film_passes_the_value() -> None:
    """On a plane the line of equal value is exact: straight interpolation is the plane itself."""
    field = np.add.outer(np.arange(8.0), 2 * np.arange(9.0))
    found = contour(field, 7.3)
    assert found
    assert all(row + 2 * column == pytest.approx(7.3) for piece in found for row, column in piece)


def test_lines_close_round_a_hill_and_skip_what_is_unknown() -> None:
    """Every end of a piece is shared by exactly one other piece: lines do not stop within the sheet."""
    rows, columns = np.mgrid[-6:7, -6:7]
    hill = np.exp(-(rows**2 + columns**2) / 13.0)
    ends = [tuple(round(v, 9) for v in end) for piece in contour(hill, 0.4) for end in piece]
    assert ends
    assert all(ends.count(end) == 2 for end in ends)
    hill[0:7] = np.nan
    assert all(row >= 7 for piece in contour(hill, 0.1) for row, _ in piece)
    assert contour(np.ones((1, 5)), 0.5) == []


@pytest.mark.parametrize("kind", range(16))
def test_every_kind_of_square_is_cut_on_sides_that_change(kind: int) -> None:
    """A line may leave a square only where one corner lies above and the other below."""
    high = [float(bool(kind & bit)) for bit in (1, 2, 4, 8)]
    square = np.array([[high[0], high[1]], [high[3], high[2]]])
    changes = sum(high[i] != high[(i + 1) % 4] for i in range(4))
    pieces = contour(square, 0.5)
    assert 2 * len(pieces) == changes
    middles = {(0.0, 0.5), (0.5, 1.0), (1.0, 0.5), (0.5, 0.0)}
    assert {end for piece in pieces for end in piece} <= middles


@pytest.mark.parametrize(("name", "unit"), UNITS)
def test_real_sheets_name_their_extremes_apart(name: str, unit: str) -> None:
    film = answers_for(name, unit).sheet_um
    field = field_of(film, coverage=None, size_mm=(6.0 * film.shape[0], 20.0 * film.shape[1]))
    plot = plot_of(field)
    (most, _, first), (least, _, second) = extreme_boxes(plot, field)
    assert not first.overlaps(second)
    assert first.within(plot.box)
    assert second.within(plot.box)
    assert f"{film[film > 0].max():.3g}" in most
    assert f"{film[film > 0].min():.3g}" in least
    drawing = draw_sheet_map(SUBJECT, film, length_mm=field.length_mm, width_mm=field.width_mm)
    assert ET.fromstring(drawing.svg).get("role") == "img"


def test_places_without_image_stay_white() -> None:
    film, cover = ramp(), np.ones((36, 52))
    cover[10:20, 20:30] = 0
    film[15, 25] = math.nan
    drawing = draw_sheet_map(SUBJECT, film, coverage=cover, **SIZE)
    picture = picture_in(drawing).convert("RGB")
    assert picture.getpixel((25, 35 - 15)) == (255, 255, 255)
    assert picture.getpixel((5, 5)) != (255, 255, 255)
    assert "no image" in drawing.svg
    assert to_png(drawing, width_px=400).startswith(b"\x89PNG")


@pytest.mark.parametrize("film", [np.zeros((3, 4)), np.ones((3, 4)), np.array([[2.0]]), np.ones((1, 9)) * 0.3])
def test_nothing_uniform_and_one_cell_are_drawn(film: np.ndarray) -> None:
    drawing = draw_sheet_map(SUBJECT, film, **SIZE)
    assert ("No film on the sheet" in drawing.svg) == (film.max() == 0)
    assert to_png(drawing, width_px=200).startswith(b"\x89PNG")


@pytest.mark.parametrize("film", [np.ones(4), np.ones((0, 3)), np.array([[math.nan]]), np.array([[1.0, -1.0]])])
def test_what_is_no_sheet_is_refused(film: np.ndarray) -> None:
    with pytest.raises(ValueError, match=r"rows and columns|number"):
        draw_sheet_map(SUBJECT, film, **SIZE)


def test_a_sheet_without_size_or_with_another_coverage_is_refused() -> None:
    with pytest.raises(ValueError, match="length"):
        draw_sheet_map(SUBJECT, ramp(), length_mm=0.0, width_mm=520.0)
    with pytest.raises(ValueError, match="coverage"):
        draw_sheet_map(SUBJECT, ramp(), coverage=np.ones((2, 2)), **SIZE)
