"""Pictures made coarser by whole boxes, so that the drawing library repeats their dots instead of mixing them.

Where the library mixes dots it cuts the greys off twice, 0.004 of ink in all wherever a picture is not even (measured
in tests/formats/pdf/test_ink_pictures.py). A picture that has an eighth as many dots as it is drawn over is repeated,
without a loss; the means of boxes are exact to half a grey and lean to no side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

Dots = NDArray[np.uint8]
REPEATED = sqrt(8.0) * 1.02
"""Dots drawn for one dot of the picture, each way, from which on the library repeats."""
AT_ONCE = 1 << 18
"""Dots of a band."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """``down`` and ``across`` are edges of boxes in dots of the picture, one more than there are boxes."""

    down: NDArray[np.int64]
    across: NDArray[np.int64]

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of boxes."""
        return len(self.across) - 1, len(self.down) - 1

    @property
    def is_whole(self) -> bool:
        """Whether each dot is a box of its own."""
        return self.size == (self.across[-1], self.down[-1])

    def bands(self) -> Iterator[tuple[int, int]]:
        """First and last (exclusive) rows of boxes that are worked on at once."""
        tall = max(1.0, self.down[-1] / (len(self.down) - 1))
        step = max(1, int(AT_ONCE / self.across[-1] / tall))
        for first in range(0, len(self.down) - 1, step):
            yield first, min(len(self.down) - 1, first + step)

    def means(self, grey: Dots, *, first: int, last: int) -> Dots:
        """Of the boxes of a band, from the dots of its rows."""
        if self.is_whole:
            return grey
        rows, columns = self.down[first : last + 1] - self.down[first], self.across
        sums = _sums(np.ascontiguousarray(_sums(grey, rows).T), columns).T
        count = np.diff(rows)[:, None] * np.diff(columns)
        # Halves go up and down by turns of their own: the nearest even one.
        means: Dots = np.rint(sums / count).astype(np.uint8)
        return means


def _sums(dots: NDArray[np.uint8] | NDArray[np.uint32], edges: NDArray[np.int64]) -> NDArray[np.uint32]:
    """Rows between edges added up."""
    counts = np.diff(edges)
    sums = np.zeros((len(counts), dots.shape[1]), dtype=np.uint32)
    for step in range(int(counts.max())):
        chosen = counts > step
        sums[chosen] += dots[(edges[:-1] + step)[chosen]]
    return sums


def grid_for(width: int, height: int, drawn: tuple[float, float] | None) -> Grid:
    """Boxes for a picture that is drawn over so many dots across and down; ``None`` where that is not known."""
    across, down = (width, height) if drawn is None else (_boxes(width, drawn[0]), _boxes(height, drawn[1]))
    return Grid(down=_edges(height, down), across=_edges(width, across))


def _boxes(dots: int, drawn: float) -> int:
    """How many boxes so many dots are put into."""
    if dots * REPEATED <= drawn:
        return dots
    return ceil(dots / ceil(dots * REPEATED / max(drawn, 1.0)))


def _edges(dots: int, boxes: int) -> NDArray[np.int64]:
    """Boxes differ by a dot at most, so that each has the share of the picture it is drawn over."""
    return np.rint(np.linspace(0, dots, boxes + 1)).astype(np.int64)
