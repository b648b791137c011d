"""A layer bonded to a rigid base, meshed: an independent way to the dent that a pressure makes.

Plane-strain quadratic elements (eight nodes) with reduced integration, which do not lock at a Poisson ratio of 0.4999;
no line of the product is used. Zienkiewicz & Taylor, The Finite Element Method, chapter on incompressible materials.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

Array = NDArray[np.float64]

POISSON = 0.4999
DOWN = 24
"""Elements through the thickness."""
_GAUSS = 1.0 / np.sqrt(3.0)
_CORNERS = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
_MIDDLES = [(0, -1), (1, 0), (0, 1), (-1, 0)]


@dataclass(frozen=True)
class Meshed:
    """Dent in the middle, the largest departure from the parabola under the stripe, stretch in the middle."""

    approach: float
    shape_error: float
    stretch: float


def indent_by_elements(half_width: float, pressure: Callable[[Array], Array], *, down: int = DOWN) -> Meshed:
    """Half a layer of thickness 1 with E' = 1 under ``pressure`` (of x/a), and the dent it makes."""
    reach = half_width + 6.0
    xs = _graded(half_width, reach, down)
    ys = np.linspace(0.0, 1.0, down + 1)
    nodes, cells = _mesh(xs, ys)
    free = _free(nodes)
    stiffness, force = _stiffness(nodes, cells), _load(nodes, cells, lambda x: pressure(x / half_width))
    moves = np.zeros(2 * len(nodes))
    moves[free] = spsolve(stiffness[free][:, free], force[free])
    top = np.flatnonzero(nodes[:, 1] > 1.0 - 1e-9)
    top = top[np.argsort(nodes[top, 0])]
    x, dent, along = nodes[top, 0], -moves[2 * top + 1], moves[2 * top]
    approach = float(dent[0])
    inside = x < 0.98 * half_width
    error = float(np.abs(approach - x[inside] ** 2 / 2.0 - dent[inside]).max())
    near = x <= 0.2 * half_width
    slope = float(np.polynomial.polynomial.polyfit(x[near], along[near], [1, 3])[1])
    return Meshed(approach, error, slope)


def _graded(half_width: float, reach: float, down: int) -> Array:
    """Even elements to beyond the edge of the stripe, then growing ones."""
    step = min(1.0 / down, half_width / 16)
    fine = np.arange(0.0, half_width * 1.25 + step, step)
    xs = list(fine)
    while xs[-1] < reach:
        step *= 1.15
        xs.append(xs[-1] + min(step, 0.3))
    return np.array(xs)


def _mesh(xs: Array, ys: Array) -> tuple[Array, NDArray[np.int64]]:
    grid: dict[tuple[int, int], int] = {}
    nodes: list[tuple[float, float]] = []

    def node(i: int, j: int) -> int:
        if (i, j) not in grid:
            grid[i, j] = len(nodes)
            x = 0.5 * (xs[i // 2] + xs[(i + 1) // 2])
            y = 0.5 * (ys[j // 2] + ys[(j + 1) // 2])
            nodes.append((x, y))
        return grid[i, j]

    cells = [
        [node(2 * i + 1 + a, 2 * j + 1 + b) for a, b in _CORNERS + _MIDDLES]
        for i in range(len(xs) - 1)
        for j in range(len(ys) - 1)
    ]
    return np.array(nodes), np.array(cells)


def _free(nodes: Array) -> NDArray[np.int64]:
    """All but the bonded base, the axis of symmetry sideways, and the far end."""
    bonded = (nodes[:, 1] < 1e-9) | (nodes[:, 0] > nodes[:, 0].max() - 1e-9)
    held = np.zeros(2 * len(nodes), dtype=bool)
    held[0::2] = bonded | (nodes[:, 0] < 1e-9)
    held[1::2] = bonded
    return np.flatnonzero(~held)


def _slopes(r: float, s: float) -> Array:
    """Derivatives of the eight shape functions by r and s: (2, 8)."""
    by = np.zeros((2, 8))
    for k, (a, b) in enumerate(_CORNERS):
        by[0, k] = 0.25 * a * (1 + b * s) * (2 * a * r + b * s)
        by[1, k] = 0.25 * b * (1 + a * r) * (a * r + 2 * b * s)
    for k, (a, b) in enumerate(_MIDDLES, start=4):
        by[0, k] = -r * (1 + b * s) if a == 0 else 0.5 * a * (1 - s * s)
        by[1, k] = 0.5 * b * (1 - r * r) if a == 0 else -s * (1 + a * r)
    return by


def _stiffness(nodes: Array, cells: NDArray[np.int64]) -> coo_matrix:
    young = 1.0 - POISSON**2
    scale = young / ((1 + POISSON) * (1 - 2 * POISSON))
    law = scale * np.array([[1 - POISSON, POISSON, 0], [POISSON, 1 - POISSON, 0], [0, 0, 0.5 - POISSON]])
    corners = nodes[cells]
    size = np.zeros((len(cells), 16, 16))
    for r in (-_GAUSS, _GAUSS):
        for s in (-_GAUSS, _GAUSS):
            by = _slopes(r, s)
            jacobian = by @ corners
            inward = np.linalg.solve(jacobian, np.broadcast_to(by, (len(cells), 2, 8)))
            strain = np.zeros((len(cells), 3, 16))
            strain[:, 0, 0::2], strain[:, 1, 1::2] = inward[:, 0], inward[:, 1]
            strain[:, 2, 0::2], strain[:, 2, 1::2] = inward[:, 1], inward[:, 0]
            size += np.einsum("eki,kl,elj,e->eij", strain, law, strain, np.linalg.det(jacobian))
    places = np.stack([2 * cells, 2 * cells + 1], axis=2).reshape(len(cells), 16)
    rows, columns = np.repeat(places, 16, axis=1), np.tile(places, (1, 16))
    count = 2 * len(nodes)
    return coo_matrix((size.ravel(), (rows.ravel(), columns.ravel())), shape=(count, count)).tocsr()


def _load(nodes: Array, cells: NDArray[np.int64], pressure: Callable[[Array], Array]) -> Array:
    """Nodal forces of the pressure on the top edges, by many points each: the pressure ends inside an element."""
    force = np.zeros(2 * len(nodes))
    points, weights = np.polynomial.legendre.leggauss(12)
    shapes = np.stack([0.5 * points * (points - 1), 1 - points**2, 0.5 * points * (points + 1)])
    for cell in cells:
        left, middle, right = cell[3], cell[6], cell[2]
        if nodes[left, 1] < 1.0 - 1e-9:
            continue
        half = 0.5 * (nodes[right, 0] - nodes[left, 0])
        values = pressure(nodes[middle, 0] + half * points)
        force[2 * np.array([left, middle, right]) + 1] -= half * shapes @ (weights * values)
    return force
