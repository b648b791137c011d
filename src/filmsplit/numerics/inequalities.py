"""Least squares under linear inequalities, and how well an answer holds their optimality conditions.

Lawson & Hanson, Solving Least Squares Problems (1974), chapter 23 (memory): the problem is turned into one of least
distance, and that into one of least squares without negatives, which ends after finitely many steps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

ON_EDGE = 1e-9
"""An inequality with a multiplier below this part of the largest slope is not held by it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fitted:
    """The least of ``|E x - f|^2`` under ``G x >= h``.

    ``multipliers`` say by how much each inequality holds the answer back (0: not at all). ``residual`` is the largest
    breach of the optimality conditions (slope not balanced, inequality broken, multiplier beside slack), computed from
    the problem itself, as part of the largest slope there would be at x = 0.
    """

    x: Array
    multipliers: Array
    residual: float


def least_squares_within(matrix: Array, target: Array, *, rows: Array, least: Array) -> Fitted | None:
    """The answer; ``None`` where no x holds the inequalities. ``matrix`` must have full column rank."""
    q, r = np.linalg.qr(matrix)
    centre = np.linalg.solve(r, q.T @ target)
    turned = np.linalg.solve(r.T, rows.T).T
    distance = _least_distance(turned, least - rows @ centre)
    if distance is None:
        return None
    step, multipliers = distance
    x = centre + np.linalg.solve(r, step)
    return Fitted(
        x=x,
        multipliers=multipliers,
        residual=breach(x, multipliers, matrix=matrix, target=target, rows=rows, least=least),
    )


def _least_distance(rows: Array, least: Array) -> tuple[Array, Array] | None:
    """The shortest z with ``rows z >= least`` and its multipliers; ``None`` where there is none."""
    from scipy.optimize import nnls  # noqa: PLC0415  (heavy)

    if np.all(least <= 0):
        return np.zeros(rows.shape[1]), np.zeros(least.size)
    stacked = np.vstack([rows.T, least])
    unit = np.zeros(stacked.shape[0])
    unit[-1] = 1.0
    try:
        shares, _ = nnls(stacked, unit, maxiter=30 * least.size)
    except RuntimeError:
        return None
    room = 1.0 - float(least @ shares)
    if room <= np.finfo(np.float64).eps ** 0.75:
        return None
    multipliers = shares / room
    return rows.T @ multipliers, multipliers


def breach(  # noqa: PLR0913  (all but two are named)
    x: Array, multipliers: Array, *, matrix: Array, target: Array, rows: Array, least: Array
) -> float:
    """Largest breach of the optimality conditions, as part of the slope at 0."""
    slope = matrix.T @ (matrix @ x - target)
    slack = rows @ x - least
    scale = float(np.abs(matrix.T @ target).max(initial=0.0)) or 1.0
    found = [
        float(np.abs(slope - rows.T @ multipliers).max(initial=0.0)) / scale,
        float((-slack).max(initial=0.0)),
        float(np.abs(multipliers * slack).max(initial=0.0)) / scale,
    ]
    return max(found)
