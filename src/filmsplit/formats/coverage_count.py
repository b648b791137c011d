"""Count ink in bands of rows, cell by cell, without unpacking a bit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.coverage_cells import Cells

Bytes = NDArray[np.uint8]
Counts = NDArray[np.int64]

MOST_IN_A_BYTE = 31
"""Rows whose bits can be added up in a byte: 31 x 8 = 248."""


@dataclass(frozen=True, slots=True, eq=False)
class Counted:
    """Sums of the cells a band touches, from row ``first`` of cells on: ``rows x columns x inks``."""

    first: int
    sums: Counts


def count_bits(band: Bytes, first_row: int, cells: Cells) -> Counted:
    """Ones in each cell. ``band`` holds rows of packed dots, the first dot in the highest bit.

    The edge of a cell may fall inside a byte: up to it the byte is counted through a mask.
    """
    at, bit = np.divmod(cells.columns, 8)
    inside = np.flatnonzero(bit)
    left_of = ((0xFF00 >> bit[inside]) & 0xFF).astype(np.uint8)
    first, parts = _row_parts(cells, first_row, len(band))
    sums = np.empty((len(parts), cells.columns.size - 1, 1), dtype=np.int64)
    running = np.zeros(band.shape[1] + 1, dtype=np.int64)
    for row, (begin, end) in enumerate(parts):
        rows = band[begin:end]
        np.cumsum(_added_up(np.bitwise_count(rows)), out=running[1:])
        edges = running[at]
        if inside.size:
            edges[inside] += _added_up(np.bitwise_count(rows[:, at[inside]] & left_of))
        sums[row, :, 0] = np.diff(edges)
    return Counted(first, sums)


def _added_up(counts: Bytes) -> NDArray[np.uint32]:
    """Column sums. A few rows at a time they fit a byte, which is many times faster than wider numbers."""
    whole = len(counts) // MOST_IN_A_BYTE * MOST_IN_A_BYTE
    few = counts[:whole].reshape(-1, MOST_IN_A_BYTE, counts.shape[1])
    total: NDArray[np.uint32] = np.add.reduce(np.add.reduce(few, axis=1, dtype=np.uint8), axis=0, dtype=np.uint32)
    total += np.add.reduce(counts[whole:], axis=0, dtype=np.uint8)
    return total


def count_values(band: Bytes, first_row: int, cells: Cells, *, table: NDArray[np.uint16] | None = None) -> Counted:
    """Sum of the values in each cell; ``band`` is ``rows x columns x inks``. Through ``table`` where there is one."""
    first, parts = _row_parts(cells, first_row, len(band))
    sums = np.empty((len(parts), cells.columns.size - 1, band.shape[2]), dtype=np.int64)
    for row, (begin, end) in enumerate(parts):
        rows = band[begin:end] if table is None else table[band[begin:end]]
        down = np.add.reduce(rows, axis=0, dtype=np.int64)
        sums[row] = np.add.reduceat(down, cells.columns[:-1], axis=0)
    return Counted(first, sums)


def _row_parts(cells: Cells, first_row: int, rows: int) -> tuple[int, list[tuple[int, int]]]:
    """The first row of cells a band touches, and its stretches by row of cells, counted in the band's own rows."""
    first = int(np.searchsorted(cells.rows, first_row, side="right")) - 1
    return first, list(_stretches(cells.rows[first:] - first_row, rows))


def _stretches(edges: NDArray[np.int64], rows: int) -> Iterator[tuple[int, int]]:
    for begin, end in pairwise(edges):
        if begin >= rows:
            return
        yield max(int(begin), 0), min(int(end), rows)
