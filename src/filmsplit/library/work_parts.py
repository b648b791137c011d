"""What demo works are put together from, dot by dot: solids, halftone screens, lettering. Each can be counted exactly.

A part is a rectangle of whole dots; its pattern says which of them take ink. ``counts`` of a pattern comes from how the
pattern is made, not from the drawn plate, so that the true coverage of a work is known before anything is read.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Dots = NDArray[np.bool_]
Counts = NDArray[np.int64]

LINE_STEP = 1.4
"""From one line of lettering to the next, in parts of its size."""


class Pattern(Protocol):
    """Which dots of a rectangle of ``size`` (rows, columns) take ink."""

    def drawn(self, size: tuple[int, int], *, first: int, last: int) -> Dots:
        """Rows ``first`` to ``last`` (left out) of the rectangle."""

    def counts(self, size: tuple[int, int]) -> Counts:
        """Inked dots of each column of the whole rectangle."""


@dataclass(frozen=True, slots=True)
class Solid:
    """Every dot."""

    def drawn(self, size: tuple[int, int], *, first: int, last: int) -> Dots:
        return np.ones((last - first, size[1]), dtype=np.bool_)

    def counts(self, size: tuple[int, int]) -> Counts:
        return np.full(size[1], size[0], dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Screen:
    """A halftone tint: of each tile exactly so many dots as come nearest to ``share``.

    The cell of the screen is the square over ``cell`` (dots right, dots down), so screens of any fineness and many
    angles repeat in whole tiles: the side of a tile is the cell's area over the largest divisor the two have in common.
    """

    share: float
    cell: tuple[int, int] = (6, 6)

    def drawn(self, size: tuple[int, int], *, first: int, last: int) -> Dots:
        tile = self.tile
        rows, columns = np.arange(first, last) % len(tile), np.arange(size[1]) % len(tile)
        return np.asarray(np.take(tile[:, columns], rows, axis=0), dtype=np.bool_)

    def counts(self, size: tuple[int, int]) -> Counts:
        tile = self.tile
        whole, rest = divmod(size[0], len(tile))
        by_column = whole * tile.sum(axis=0, dtype=np.int64) + tile[:rest].sum(axis=0, dtype=np.int64)
        return np.asarray(by_column[np.arange(size[1]) % len(tile)], dtype=np.int64)

    @property
    def tile(self) -> Dots:
        order = _order(self.cell)
        return np.asarray(order < round(self.share * order.size), dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class Lettering:
    """Lines of text set from the left, as many as the rectangle holds; ``font`` is the font file itself."""

    lines: tuple[str, ...]
    size_dots: int
    font: bytes = field(repr=False)

    def drawn(self, size: tuple[int, int], *, first: int, last: int) -> Dots:
        return _letters(self, size)[first:last]

    def counts(self, size: tuple[int, int]) -> Counts:
        return np.asarray(_letters(self, size).sum(axis=0, dtype=np.int64), dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A pattern at its place: first row and column, and how many of each, in dots."""

    top: int
    left: int
    size: tuple[int, int]
    pattern: Pattern

    @property
    def bottom(self) -> int:
        return self.top + self.size[0]

    @property
    def right(self) -> int:
        return self.left + self.size[1]


@lru_cache(maxsize=64)
def _order(cell: tuple[int, int]) -> NDArray[np.int64]:
    """The dots of a tile numbered as they fill with a growing tint: round dots, then round holes."""
    right, down = cell
    area = right * right + down * down
    side = area // int(np.gcd(right, down))
    y, x = np.mgrid[:side, :side] * (2 * np.pi / area)
    height = np.cos(right * x + down * y) + np.cos(right * y - down * x)
    order = np.empty(side * side, dtype=np.int64)
    # Rounded, so that dots of one height are numbered in one order whatever the processor's cosine.
    order[np.argsort(-height.round(9).ravel(), kind="stable")] = np.arange(side * side)
    return order.reshape(side, side)


@lru_cache(maxsize=16)
def _letters(text: Lettering, size: tuple[int, int]) -> Dots:
    from PIL import Image, ImageDraw, ImageFont  # noqa: PLC0415 - a picture library is wanted only where one is drawn

    picture = Image.new("1", (size[1], size[0]))
    pen = ImageDraw.Draw(picture)
    font = ImageFont.truetype(io.BytesIO(text.font), text.size_dots)
    for number, line in enumerate(text.lines):
        pen.text((0, round(number * LINE_STEP * text.size_dots)), line, fill=1, font=font)
    return np.asarray(picture, dtype=np.bool_)
