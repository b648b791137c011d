"""Blocks across the press: a coarser division than columns, and what faces and oscillation make of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.train import CellLoop, CellSwing, Train

MOST_BLOCKS = 48
"""Blocks across where something oscillates; without, every column is a block of its own."""

PHASES = 32
"""Phases at which sideways moves are averaged."""


@dataclass(frozen=True, slots=True, eq=False)
class Blocks:
    """The blocks of one train; ``edges`` in columns."""

    edges: Array

    @property
    def count(self) -> int:
        return self.edges.size - 1

    @property
    def columns(self) -> int:
        return int(self.edges[-1])

    def means(self, columns: Array) -> Array:
        """Means over the blocks of values by column (last axis)."""
        starts = self.edges[:-1].astype(np.int64)
        return np.asarray(np.add.reduceat(columns, starts, axis=-1) / np.diff(self.edges))

    def spread(self, film: Array, *, stands: float) -> Array:
        """Values by block of the press put on a loop's own columns, with straight lines between middles of blocks."""
        places = np.arange(self.columns) + 0.5 + stands
        if film.size == places.size and stands == 0.0:
            return film
        return np.asarray(np.interp(places, (self.edges[1:] + self.edges[:-1]) / 2, film))

    def gathered(self, values: Array, *, stands: float) -> Array:
        """Values on a loop's own columns as means over the blocks of the press (an end's value goes on outside)."""
        if stands != 0.0:
            own = np.arange(values.size)
            values = np.interp(own - stands, own, values)
        return self.means(values)

    def face(self, loop: CellLoop) -> Array:
        """Part of each block that lies on the face, on the mean over a swing (1 where none ever does)."""
        part = self.present([loop])
        return np.where(part > 0, part, 1.0)

    def present(self, loops: list[CellLoop], *, when: Array | None = None) -> Array:
        """Part of each block where the faces of all the given loops are, averaged over their swings (or ``when``)."""
        places = [_swung(loop, offset=i, when=when) for i, loop in enumerate(loops)]
        first = np.max([loop.first + place for loop, place in zip(loops, places, strict=True)], axis=0)
        end = np.min([loop.end + place for loop, place in zip(loops, places, strict=True)], axis=0)
        inside = np.minimum(self.edges[1:], end[:, None]) - np.maximum(self.edges[:-1], first[:, None])
        return np.asarray(np.clip(inside, 0, None).mean(axis=0) / np.diff(self.edges))

    def moved(self, loop: CellLoop, *, delay: int) -> Array:
        """How an oscillating loop moves films sideways over ``delay`` steps, on the mean over its swing (a matrix)."""
        swing = loop.swing
        if swing is None:
            return np.eye(self.count)
        reach = 2 * swing.half_stroke * abs(np.sin(np.pi * delay / swing.cycle))
        from_face = _moved(self.edges, reach=float(reach)) * self.present([loop])
        arriving = from_face.sum(axis=1, keepdims=True)
        return np.where(arriving > 0, from_face / np.where(arriving > 0, arriving, 1.0), 0.0)


def blocks_of(train: Train) -> Blocks:
    """Few blocks where something oscillates, else one for each column."""
    columns = train.grid.columns
    swings = any(loop.swing is not None for loop in train.loops)
    count = min(columns, MOST_BLOCKS) if swings else columns
    return Blocks(np.round(np.linspace(0, columns, count + 1)).astype(np.float64))


def stands(swing: CellSwing | None, *, step: int) -> float:
    """Columns by which a loop stands to the gear side after ``step`` steps."""
    return 0.0 if swing is None else float(swing.at(np.array([step - 0.5]))[0])


def _moved(edges: Array, *, reach: float) -> Array:
    """Where films of each block are after a sideways move of up to ``reach`` columns, over all phases of a swing.

    What would leave an end is turned back, so that an even film stays even and no ink is lost.
    """
    low, high = edges[:-1], edges[1:]
    width = edges[-1] - edges[0]
    moved = np.zeros((low.size, low.size))
    shift = reach * np.sin(2 * np.pi * (np.arange(PHASES) + 0.5) / PHASES)[:, None, None]
    for first, end in ((low, high), (-high, -low), (2 * width - high, 2 * width - low)):
        inside = np.minimum(end[:, None], high + shift) - np.maximum(first[:, None], low + shift)
        moved += np.clip(inside, 0, None).sum(axis=0)
    return np.asarray(moved / PHASES / np.diff(edges)[:, None])


def _swung(loop: CellLoop, *, offset: int, when: Array | None) -> Array:
    """Places of a loop over a swing, or at given steps; two loops swing out of step (``offset``), as on the mean."""
    if when is not None:
        return np.zeros(when.size) if loop.swing is None else loop.swing.at(when)
    phases = np.arange(PHASES) + 0.5
    half_stroke = 0.0 if loop.swing is None else loop.swing.half_stroke
    return np.asarray(half_stroke * np.sin(2 * np.pi * phases / PHASES + offset * np.pi / 2))
