"""The map from one plane to another as a camera sees it: fitted to points, and what it does to circles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TINY = 1e-12
"""Part of a matrix's size below which its last element is rounding and cannot be divided by."""


@dataclass(frozen=True, slots=True, eq=False)
class Homography:
    """A projective map of the plane; ``matrix`` is 3 x 3."""

    matrix: Array

    def __call__(self, points: Array) -> Array:
        """The images of points [..., 2]."""
        x, y = points[..., 0], points[..., 1]
        m = self.matrix
        below = m[2, 0] * x + m[2, 1] * y + m[2, 2]
        return np.stack(
            [(m[0, 0] * x + m[0, 1] * y + m[0, 2]) / below, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) / below], axis=-1
        )

    def stretch(self, point: tuple[float, float]) -> Array:
        """The 2 x 2 matrix by which the map stretches the neighbourhood of a point."""
        x, y = point
        below = float(self.matrix[2] @ (x, y, 1.0))
        image = self(np.array(point))
        stretch: Array = (self.matrix[:2, :2] - np.outer(image, self.matrix[2, :2])) / below
        return stretch

    def middle_of_circle(self, centre: tuple[float, float], radius: float) -> Array:
        """The middle of the ellipse that a circle becomes; under perspective it is not the image of its centre.

        A circle is the conic C; its image is ``H^-T C H^-1``, and the middle of a conic follows from its quadratic part
        (Hartley & Zisserman, Multiple View Geometry, 2nd ed. 2004, section 2.2).
        """
        x, y = centre
        circle = np.array([[1, 0, -x], [0, 1, -y], [-x, -y, x * x + y * y - radius**2]])
        back = np.linalg.inv(self.matrix)
        conic = back.T @ circle @ back
        middle: Array = np.linalg.solve(conic[:2, :2], -conic[:2, 2])
        return middle


def fit_homography(source: Array, target: Array) -> Homography:
    """The map that takes four points or more [n, 2] nearest to their targets: direct linear transformation.

    Points are first moved and scaled to a mean distance of sqrt(2) (Hartley 1997). ``ValueError`` for fewer than four.
    """
    if len(source) < 4 or len(source) != len(target):
        raise ValueError("four points or more are needed, each with its target")
    first, second = _levelled(source), _levelled(target)
    rows = [row for a, b in zip(first(source), second(target), strict=True) for row in _equations(a, b)]
    flat = np.linalg.svd(np.array(rows))[2][-1]
    matrix = np.linalg.inv(second.matrix) @ flat.reshape(3, 3) @ first.matrix
    size = matrix[2, 2] if abs(matrix[2, 2]) > TINY * float(np.linalg.norm(matrix)) else float(np.linalg.norm(matrix))
    return Homography(matrix / size)


def _equations(a: Array, b: Array) -> tuple[list[float], list[float]]:
    (x, y), (u, v) = a, b
    return [-x, -y, -1, 0, 0, 0, u * x, u * y, u], [0, 0, 0, -x, -y, -1, v * x, v * y, v]


def _levelled(points: Array) -> Homography:
    middle = points.mean(axis=0)
    scale = np.sqrt(2) / max(float(np.linalg.norm(points - middle, axis=1).mean()), 1e-12)
    return Homography(np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]]))
