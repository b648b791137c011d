"""Which parts of the paper are taken, kept as rows of bits: asking whether a box is free costs a few integer ands."""

from __future__ import annotations

import math
from collections.abc import Iterator

from filmsplit.figures.boxes import Box, Disc, Spot

CELL_MM = 0.5


class Grid:
    """Cells of half a millimetre over a page. A cell that is touched counts as taken: never too little is reserved."""

    def __init__(self, page: Box) -> None:
        self._page = page
        self._columns = math.ceil((page.right - page.left) / CELL_MM) + 1
        self._rows = [0] * (math.ceil((page.bottom - page.top) / CELL_MM) + 1)

    def take_box(self, box: Box) -> None:
        """Mark every cell the box touches."""
        mask = self._mask(box.left, box.right)
        for row in self._span(box.top, box.bottom):
            self._rows[row] |= mask

    def take_disc(self, disc: Disc) -> None:
        """Mark every cell the circle touches."""
        for row in self._span(disc.y - disc.r, disc.y + disc.r):
            top = self._page.top + row * CELL_MM
            off = max(0.0, top - disc.y, disc.y - top - CELL_MM)
            half = math.sqrt(max(0.0, disc.r * disc.r - off * off))
            self._rows[row] |= self._mask(disc.x - half, disc.x + half)

    def take_line(self, start: Spot, end: Spot) -> None:
        """Mark the cells a straight line runs through."""
        for row, mask in self._strips(start, end):
            self._rows[row] |= mask

    def is_free(self, box: Box) -> bool:
        """Whether no cell the box touches is taken."""
        mask = self._mask(box.left, box.right)
        span = self._span(box.top, box.bottom)
        for row in self._rows[span.start : span.stop]:  # noqa: SIM110 - asked for ten thousand times a drawing
            if row & mask:
                return False
        return True

    def is_clear(self, start: Spot, end: Spot) -> bool:
        """Whether a straight line meets no taken cell."""
        rows = self._rows
        for row, mask in self._strips(start, end):  # noqa: SIM110 - as above
            if rows[row] & mask:
                return False
        return True

    def _mask(self, left: float, right: float) -> int:
        first = max(0, math.floor((left - self._page.left) / CELL_MM))
        last = min(self._columns, math.floor((right - self._page.left) / CELL_MM) + 1)
        return ((1 << (last - first)) - 1) << first if last > first else 0

    def _span(self, top: float, bottom: float) -> range:
        first = max(0, math.floor((top - self._page.top) / CELL_MM))
        last = min(len(self._rows), math.floor((bottom - self._page.top) / CELL_MM) + 1)
        return range(first, max(first, last))

    def _strips(self, start: Spot, end: Spot) -> Iterator[tuple[int, int]]:
        """The rows a line runs through, each with the cells it runs through there."""
        (x0, y0), (x1, y1) = sorted((start, end), key=lambda spot: spot[1])
        slope = (x1 - x0) / (y1 - y0) if y1 - y0 > 1e-9 else 0.0
        for row in self._span(y0, y1):
            top = self._page.top + row * CELL_MM
            a = x0 + slope * (max(top, y0) - y0) if slope else x0
            b = x0 + slope * (min(top + CELL_MM, y1) - y0) if slope else x1
            yield row, self._mask(min(a, b), max(a, b))
