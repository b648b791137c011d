"""Coverage on cells keeps every gram of image, wherever edges fall."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from filmsplit.simulation.grid import grid_of
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.on_cells import coverage_on, stepped, whole_cells
from studies.asked import STRAIGHT, answer_of


@given(
    first=some.floats(0, 50),
    widths=some.lists(some.floats(0.3, 40), min_size=1, max_size=8),
    cell_mm=some.floats(0.7, 20),
    data=some.data(),
)
def test_the_sum_over_cells_is_the_integral(
    first: float, widths: list[float], cell_mm: float, data: some.DataObject
) -> None:
    edges = first + np.concatenate([[0], np.cumsum(widths)])
    values = np.array(data.draw(some.lists(some.floats(0.01, 1), min_size=len(widths), max_size=len(widths))))
    cells = int(np.ceil(edges[-1] / cell_mm)) + 1
    found = stepped(edges, values, cell_mm=cell_mm, cells=cells)
    assert found.sum() * cell_mm == pytest.approx(values @ np.array(widths), rel=1e-4)
    assert found.max() <= values.max() + 1e-9


def test_a_cell_on_an_edge_gets_the_mean_over_it() -> None:
    # Cells 0-2, 2-4, 4-6 of steps 1 over 1..3 and 0.5 over 3..6: (1)/2, (1 + 0.5)/2, 0.5.
    found = stepped(np.array([1.0, 3.0, 6.0]), np.array([1.0, 0.5]), cell_mm=2.0, cells=4)
    assert found == pytest.approx([0.5, 0.75, 0.5, 0.0])


def test_both_directions_at_once() -> None:
    grid = grid_of(40.0, 30.0, round_mm=4.0, across_mm=3.0)
    field = np.array([[0.2, 0.8], [1.0, 0.0]])
    edges = np.array([0.0, 10.0, 25.0])
    found = coverage_on(grid, field, down_mm=edges, across_mm=edges + 1.0)
    image_mm2 = 0.2 * 10 * 10 + 0.8 * 10 * 15 + 1.0 * 15 * 10
    assert found.sum() * grid.cell_mm2 == pytest.approx(image_mm2)
    assert not found[7:].any()


def test_a_span_is_widened_to_the_cells_it_touches_and_no_further() -> None:
    assert whole_cells((10.0, 20.0), 3.0) == pytest.approx((9.0, 21.0))
    assert whole_cells((9.0, 21.0), 3.0) == pytest.approx((9.0, 21.0))
    assert whole_cells((3 * 0.1, 6 * 0.1), 0.1) == pytest.approx((0.3, 0.6))


def test_a_map_of_two_halves_is_the_same_as_those_zones() -> None:
    zones = (0.1,) * 5 + (0.6,) * 5
    asked = {"key_films_um": 10.0, "round_mm": 5.0, "across_mm": 15.0}
    by_zone = answer_of(STRAIGHT, FilmQuestion(coverage=zones, **asked))  # type: ignore[arg-type]
    by_map = answer_of(STRAIGHT, FilmQuestion(coverage=np.array([[0.1, 0.6]]), **asked))  # type: ignore[arg-type]
    assert by_zone.films is not None
    assert by_map.films is not None
    assert by_map.films.zones == by_zone.films.zones
    assert by_map.asked.coverage == pytest.approx(0.35)
