"""Sideways mixing: how far a train spreads across what one narrow line of the fountain brings."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.network import Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
from filmsplit.studies.standard_job import STANDARD_JOB, Figure, Subject, figure

ACCURACY = 1e-3
"""Of the settled print, over the mean film: a small part of what the cells cost."""

COLUMNS_PER_STROKE = 4
"""The finer columns are at most this part of the smallest stroke."""

TOO_FINE = "character.too_fine"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Spread of the print across, on columns of one width."""

    across_mm: float
    variance_mm2: float


def mixing_figure(subject: Subject) -> Figure:
    """Standard deviation of the film across the sheet beyond the width of the feed, in mm.

    The feed is one column of cells, and a column spreads what it passes to its neighbours by a part of its own width.
    That adds to the variance in proportion to the square of the width (measured: halving the columns takes off three
    quarters of it, then three quarters of the rest), so two widths tell what none would give.
    """
    network, _ = with_common_period(subject.network)
    fine_mm = finest_mm(subject, network)
    coarse, fine = (spread_on(subject, network, across_mm=width) for width in (2 * fine_mm, fine_mm))
    if coarse is None or fine is None:
        return figure("mixing", "mm", value=None)
    variance = without_columns(coarse, fine)
    return figure("mixing", "mm", value=math.sqrt(variance) if variance >= 0 else None, missing=TOO_FINE)


def finest_mm(subject: Subject, network: Network) -> float:
    """Width of the finer columns."""
    strokes = [loop.swing.stroke_mm for loop in network.loops if loop.swing is not None and loop.swing.stroke_mm > 0]
    return min(subject.cells.across_mm, min(strokes, default=math.inf) / COLUMNS_PER_STROKE)


def without_columns(coarse: Spread, fine: Spread) -> float:
    """Variance for columns of no width, in mm2; negative where the columns hide it."""
    weight = fine.across_mm**2 / (coarse.across_mm**2 - fine.across_mm**2)
    return fine.variance_mm2 - weight * (coarse.variance_mm2 - fine.variance_mm2)


def spread_on(subject: Subject, network: Network, *, across_mm: float) -> Spread | None:
    """The print of one open column in the middle, under the standard tint; ``None`` where it does not settle."""
    half = max(1, round(subject.width_mm / 2 / across_mm - 0.5))  # columns beside the one in the middle
    column_mm = subject.width_mm / (2 * half + 1)
    grid = grid_of(network.plate_mm, subject.width_mm, round_mm=subject.cells.mixing_mm, across_mm=column_mm)
    line = np.zeros(grid.columns)
    line[half] = 1.0
    coverage = subject.tint(grid, STANDARD_JOB.tint)
    solution = settle(compile_network(network, grid), subject.demand(coverage, films_um=line), accuracy=ACCURACY)
    if not solution.ok or solution.sheet_um is None:
        return None
    across = (solution.sheet_um * coverage).sum(axis=0)
    return Spread(across_mm=grid.across_mm, variance_mm2=variance_of(across, grid.centres_mm))


def variance_of(weights: Array, places_mm: Array) -> float:
    """Variance of places under weights."""
    mean = weights @ places_mm / weights.sum()
    return float(weights @ (places_mm - mean) ** 2 / weights.sum())
