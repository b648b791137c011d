"""Which pieces are read together: bands of rows, large enough to be counted fast, small enough to be many."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from filmsplit.formats.tiff_layout import Layout, Packing

BAND_BYTES = 2**20
"""Packed bytes of a band, about: they should stay in the cache between unpacking and counting."""


@dataclass(frozen=True, slots=True)
class Band:
    """``rows`` rows from ``first_row`` on of a plane, out of ``pieces``. ``skipped`` is set where the band is a part of
    one strip: the rows of the strip before it.
    """

    plane: int
    first_row: int
    rows: int
    pieces: range
    skipped: int | None = None


def bands(layout: Layout) -> Iterator[Band]:
    """All bands of a page, plane by plane, from the top."""
    make = _of_tiles if layout.pieces.tiled else _of_strips
    for plane in range(layout.planes):
        yield from make(layout, plane)


def _of_tiles(layout: Layout, plane: int) -> Iterator[Band]:
    pieces = layout.pieces
    for down in range(pieces.down):
        first = plane * pieces.of_a_plane + down * pieces.across
        top = down * pieces.height
        yield Band(plane, top, min(pieces.height, layout.height - top), range(first, first + pieces.across))


def _of_strips(layout: Layout, plane: int) -> Iterator[Band]:
    pieces = layout.pieces
    most = max(1, BAND_BYTES // layout.bytes_of(layout.width))
    together = max(1, most // pieces.height)
    first_of_all = plane * pieces.of_a_plane
    for begin in range(0, pieces.down, together):
        strips = range(first_of_all + begin, first_of_all + min(begin + together, pieces.down))
        top = begin * pieces.height
        rows = int(layout.rows_of(np.array(strips)).sum())
        if layout.packing is not Packing.NONE or rows <= most:
            yield Band(plane, top, rows, strips)
            continue
        for skipped in range(0, rows, most):  # one long strip, not packed: any part of it can be read
            yield Band(plane, top + skipped, min(most, rows - skipped), strips, skipped)
