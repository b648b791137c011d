"""The bit grid never calls a place free that is taken: checked against exact geometry."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from filmsplit.figures.boxes import Box, Disc, box_cut_by, lines_cross
from filmsplit.figures.grid import Grid

PAGE = Box(5.0, 7.0, 105.0, 87.0)
across = st.floats(5.0, 105.0)
down = st.floats(7.0, 87.0)
spots = st.tuples(across, down)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    left, top = draw(across), draw(down)
    return Box(left, top, left + draw(st.floats(0.1, 30.0)), top + draw(st.floats(0.1, 12.0)))


@given(boxes(), boxes())
def test_a_box_that_overlaps_is_not_free(taken: Box, asked: Box) -> None:
    grid = Grid(PAGE)
    grid.take_box(taken)
    if taken.overlaps(asked):
        assert not grid.is_free(asked)


@given(spots, st.floats(0.5, 40.0), boxes())
def test_a_box_that_meets_a_circle_is_not_free(middle: tuple[float, float], r: float, asked: Box) -> None:
    disc = Disc(*middle, r)
    grid = Grid(PAGE)
    grid.take_disc(disc)
    corner_inside = asked.left < PAGE.right and asked.top < PAGE.bottom
    if disc.meets(asked) and corner_inside and PAGE.overlaps(_meeting(disc, asked)):
        assert not grid.is_free(asked)


def _meeting(disc: Disc, box: Box) -> Box:
    """A small box round the point where circle and box come nearest: what the page must hold to know of it."""
    x, y = box.nearest((disc.x, disc.y))
    return Box(x - 1e-6, y - 1e-6, x + 1e-6, y + 1e-6)


@given(boxes(), spots, spots)
def test_a_line_through_a_box_is_not_clear(taken: Box, start: tuple[float, float], end: tuple[float, float]) -> None:
    grid = Grid(PAGE)
    grid.take_box(taken)
    if box_cut_by(taken, start, end):
        assert not grid.is_clear(start, end)


@given(spots, spots, boxes())
def test_a_box_on_a_line_is_not_free(start: tuple[float, float], end: tuple[float, float], asked: Box) -> None:
    grid = Grid(PAGE)
    grid.take_line(start, end)
    if box_cut_by(asked, start, end):
        assert not grid.is_free(asked)


def test_an_empty_page_is_free_and_a_far_box_stays_free() -> None:
    grid = Grid(PAGE)
    assert grid.is_free(Box(10, 10, 20, 20))
    grid.take_box(Box(10, 10, 20, 20))
    grid.take_disc(Disc(60, 60, 5))
    assert grid.is_free(Box(30, 30, 50, 50))
    assert grid.is_clear((30, 30), (50, 50))


def test_crossing_lines_are_told_from_those_that_do_not() -> None:
    assert lines_cross(((0, 0), (2, 2)), ((0, 2), (2, 0)))
    assert not lines_cross(((0, 0), (2, 2)), ((3, 0), (3, 2)))
