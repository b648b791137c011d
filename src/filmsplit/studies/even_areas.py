"""Areas of a sheet that were meant to be even: only on them can a ghost be seen, and only there is one judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array

Mask = NDArray[np.bool_]

EVEN = 0.02
"""Coverage may differ so much from the median of an even area (definition of this project)."""
LEAST_MM = 10.0
"""An area is at least so long and so wide (definition of this project)."""
LEAST_COVERAGE = 0.05
"""Below this a tint is so light that no film difference on it is seen (invented default)."""
_FINE = 4
"""Bins to the tolerance, in which coverages are counted."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EvenArea:
    """One even area: its cells as a mask over the plate, its median coverage, and its box (rows, columns)."""

    cells: Mask
    coverage: float
    rows: slice
    columns: slice


def even_areas(coverage: Array, *, cell_mm: tuple[float, float]) -> tuple[EvenArea, ...]:
    """The even areas of a plate [rows round it, columns across], the largest first. ``cell_mm`` is round and across.

    Cells within the tolerance of the commonest coverage are taken first, then those of the next; what lies further
    than the tolerance from the median of its area is left out.
    """
    found = [area for cells in _joined(coverage) for area in _evened(coverage, cells, cell_mm=cell_mm)]
    return tuple(sorted(found, key=lambda area: -int(area.cells.sum())))


def _joined(coverage: Array) -> Iterator[Mask]:
    """Connected cells of one coverage."""
    from scipy.ndimage import label  # noqa: PLC0415 - only who looks for areas waits for it

    bins = np.round(coverage / (EVEN / _FINE)).astype(int)
    waiting = coverage >= LEAST_COVERAGE
    while waiting.any():
        like = waiting & (np.abs(bins - _commonest(bins[waiting])) <= _FINE)
        waiting &= ~like
        numbered, count = label(like)
        for number in range(1, count + 1):
            yield np.asarray(numbered == number)


def _commonest(bins: NDArray[np.intp]) -> int:
    """The bin about which, within the tolerance, most cells lie; those in its middle count most."""
    weights = _FINE + 1 - np.abs(np.arange(-_FINE, _FINE + 1))
    about = np.convolve(np.bincount(bins), weights)[_FINE:-_FINE]
    return int(bins[np.argmax(about[bins])])


def _evened(coverage: Array, cells: Mask, *, cell_mm: tuple[float, float]) -> Iterator[EvenArea]:
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    box = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
    long_mm, wide_mm = ((span.stop - span.start) * size for span, size in zip(box, cell_mm, strict=True))
    if min(long_mm, wide_mm) < LEAST_MM:
        return
    median = float(np.median(coverage[cells]))
    near = cells & (np.abs(coverage - median) <= EVEN)
    if near.any():
        yield EvenArea(cells=near, coverage=median, rows=box[0], columns=box[1])
