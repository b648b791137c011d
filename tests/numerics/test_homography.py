"""Maps of planes: against points whose images follow from the definition, and a circle sampled point by point."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.numerics.homography import Homography, fit_homography

MAP = Homography(np.array([[8.0, 1.0, 50.0], [-0.6, 7.0, 90.0], [4e-4, 9e-4, 1.0]]))
POINTS = np.array([(0.0, 0.0), (150.0, 0.0), (150.0, 42.0), (0.0, 42.0), (75.0, 20.0)])


@pytest.mark.parametrize("count", [4, 5])
def test_a_map_is_found_again_from_its_points(count: int) -> None:
    found = fit_homography(POINTS[:count], MAP(POINTS[:count]))
    assert found.matrix == pytest.approx(MAP.matrix, rel=1e-7, abs=1e-9)


def test_three_points_are_too_few() -> None:
    with pytest.raises(ValueError, match="four"):
        fit_homography(POINTS[:3], POINTS[:3])


def test_the_stretch_is_the_derivative() -> None:
    at, step = np.array([40.0, 15.0]), 1e-5
    slopes = [(MAP(at + step * axis) - MAP(at - step * axis)) / (2 * step) for axis in np.eye(2)]
    assert MAP.stretch((40.0, 15.0)) == pytest.approx(np.stack(slopes, axis=1), rel=1e-6)


def test_the_middle_of_a_circle_is_that_of_the_ellipse_it_becomes() -> None:
    """The middle of an ellipse is the centre of gravity of its area; by the shoelace formula on 20 000 points."""
    turns = np.linspace(0, 2 * np.pi, 20_001)
    rim = MAP(np.stack([60 + 5.5 * np.cos(turns), 30 + 5.5 * np.sin(turns)], axis=1))
    (x0, y0), (x1, y1) = rim[:-1].T, rim[1:].T
    cross = x0 * y1 - x1 * y0
    centre = np.array([((x0 + x1) * cross).sum(), ((y0 + y1) * cross).sum()]) / (3 * cross.sum())
    assert MAP.middle_of_circle((60.0, 30.0), 5.5) == pytest.approx(centre, abs=1e-4)
    assert np.linalg.norm(MAP(np.array([60.0, 30.0])) - centre) > 0.01
