"""The jobs on which presses are compared: stated once, the same for all, printed on each press's own train."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED
from filmsplit.simulation.grid import Grid, grid_of
from filmsplit.simulation.network import Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train, compile_network


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardJob:
    """Tints are even over the longest sheet the press takes; the ghost's print is solid all round but for a strip.

    The sweep is in the middle of its range, every nip splits evenly, and the sheet takes half of what the blanket
    brings (common practice). An ink of 1 g/cm3 is a round number (0.95 to 1.1: common practice).
    """

    tint: float = 0.10
    film_um: float = 1.0
    density_g_per_cm3: float = 1.0
    light: float = 0.05
    heavy: float = 0.50
    strip_mm: float = 20.0


STANDARD_JOB = StandardJob()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Sizes of cells: round for tints, for the ghost and for the mixing, and the finer columns of the mixing.

    Repeats of several rollers overlap in a ghost, and there their edges decide: it needs the smallest.
    """

    tint_mm: float = 2.0
    ghost_mm: float = 0.5
    mixing_mm: float = 4.0
    across_mm: float = 2.5


COARSE = Cells()
"""Chosen so that a comparison takes a moment; ``python3 dev.py campaign character`` tells what that costs."""

ERRORS = {"ghost": 0.3, "mixing": 3.0, "store": 1.0, "respond": 1.0}
"""What the cells may cost, in % of the figure; of the film for the ghost; at least a sheet for the response.

Measured on the demo presses and rounded up.
"""

ACCURACY = 1e-4
"""Of the settled print: a small part of what the cells cost."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of one unit. Without a ``value``, ``missing`` is the label that says why there is none."""

    name: str
    unit: str
    value: float | None
    missing: str = ""


NOT_SETTLED = "character.not_settled"


def figure(name: str, unit: str, *, value: float | None, missing: str = NOT_SETTLED) -> Figure:
    """A figure, or why there is none where ``value`` is ``None``."""
    return Figure(name=name, unit=unit, value=value, missing=missing if value is None else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A unit as the standard jobs see it. ``sweep_mm`` is ``None`` where nothing ducts."""

    network: Network
    width_mm: float
    sheet_mm: tuple[float, float]
    sweep_mm: float | None
    cells: Cells = COARSE

    def demand(self, coverage: Array, *, films_um: float | Array) -> Demand:
        """A coverage printed with given films on the fountain roller."""
        sweeps = {} if self.sweep_mm is None else {INK_FEED: self.sweep_mm}
        return Demand(coverage=coverage, films_um={INK_FEED: films_um}, sweeps_mm=sweeps)

    def tint(self, grid: Grid, cover: float) -> Array:
        """An even tint over the length of the sheet, the rest of the plate bare."""
        coverage = np.zeros((grid.rows, grid.columns))
        coverage[: grid.cells(self.sheet_mm[0])] = cover
        return coverage


def even_train(subject: Subject, *, round_mm: float, columns: int = 1) -> Train:
    """The train for what is even across: each column 1 mm wide and by itself, nothing oscillates, no face ends.

    What is even across does not feel oscillation, so one column stands for the middle of the press; and as columns
    without oscillation do not meet, several prints may be settled side by side.
    """
    network = subject.network
    loops = tuple(replace(loop, swing=None, face_mm=None) for loop in network.loops)
    feeds = tuple(replace(feed, face_mm=None) for feed in network.feeds)
    even, _ = with_common_period(replace(network, loops=loops, feeds=feeds))
    grid = grid_of(network.plate_mm, float(columns), round_mm=round_mm, across_mm=1.0)
    return compile_network(even, grid)


def settled_tint(subject: Subject, cover: float) -> tuple[Train, Demand, Solution]:
    """An even tint on the even train, settled."""
    train = even_train(subject, round_mm=subject.cells.tint_mm)
    demand = subject.demand(subject.tint(train.grid, cover), films_um=1.0)
    return train, demand, settle(train, demand, accuracy=ACCURACY)
