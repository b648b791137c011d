"""Coverage put on cells: each cell gets the mean over what it covers, so that no image is lost or won."""

from __future__ import annotations

import math

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.grid import Grid

SLIVER = 1e-6
"""A piece of a cell smaller than this part of it is rounding and not there."""


def stepped(edges_mm: Array, values: Array, *, cell_mm: float, cells: int) -> Array:
    """Means over cells of ``cell_mm`` (from place 0 on) of steps ``values`` (last axis) between ``edges_mm``; 0 beyond.

    The sum over the cells is the integral of the steps, wherever their edges fall.
    """
    widths = np.diff(edges_mm)
    summed = np.concatenate([np.zeros((*values.shape[:-1], 1)), np.cumsum(values * widths, axis=-1)], axis=-1)
    at = np.arange(cells + 1) * cell_mm
    piece = np.clip(np.searchsorted(edges_mm, at, side="right") - 1, 0, len(widths) - 1)
    into = np.clip(at, edges_mm[0], edges_mm[-1]) - edges_mm[piece]
    reached = summed[..., piece] + values[..., piece] * into
    means = np.diff(reached, axis=-1) / cell_mm
    return np.asarray(np.where(means > SLIVER, means, 0.0))


def whole_cells(span_mm: tuple[float, float], cell_mm: float) -> tuple[float, float]:
    """The span widened to the cells it touches."""
    first, end = math.floor(span_mm[0] / cell_mm + SLIVER), math.ceil(span_mm[1] / cell_mm - SLIVER)
    return first * cell_mm, end * cell_mm


def coverage_on(grid: Grid, field: Array, *, down_mm: Array, across_mm: Array) -> Array:
    """Coverage by plate row and column from a map with its edges: from the leading image edge, and across the train."""
    beside = stepped(across_mm, field, cell_mm=grid.across_mm, cells=grid.columns)
    placed = stepped(down_mm, beside.T, cell_mm=grid.round_mm, cells=grid.rows).T
    return np.ascontiguousarray(np.clip(placed, 0.0, 1.0))
