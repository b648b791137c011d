"""A plate of a demo work: parts on an empty plate, drawn a band of rows at a time, its true coverage counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from filmsplit.library.work_parts import Counts, Dots, Lettering, Part, Pattern


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WorkPlate:
    """One ink's plate. ``size_mm`` is down and across; a millimetre is a whole number of dots.

    Raises ``ValueError`` where parts overlap or stick out: their dots could not be added up.
    """

    ink: str
    size_mm: tuple[int, int]
    dots_per_mm: int
    parts: tuple[Part, ...]

    def __post_init__(self) -> None:
        rows, columns = self.size
        if any(p.top < 0 or p.left < 0 or p.bottom > rows or p.right > columns for p in self.parts):
            raise ValueError("a part sticks out")
        if any(_overlap(one, other) for one, other in combinations(self.parts, 2)):
            raise ValueError("parts overlap")

    @property
    def size(self) -> tuple[int, int]:
        """Rows and columns of dots."""
        return self.size_mm[0] * self.dots_per_mm, self.size_mm[1] * self.dots_per_mm

    @property
    def dpi(self) -> float:
        return self.dots_per_mm * 25.4

    def rows(self, first: int, last: int) -> Dots:
        """Rows ``first`` to ``last`` (left out), true where there is ink."""
        drawn = np.zeros((last - first, self.size[1]), dtype=np.bool_)
        for part in self.parts:
            begin, end = max(first, part.top), min(last, part.bottom)
            if begin < end:
                band = part.pattern.drawn(part.size, first=begin - part.top, last=end - part.top)
                drawn[begin - first : end - first, part.left : part.right] = band
        return drawn

    def column_counts(self) -> Counts:
        """Inked dots of each column, from how the parts are made."""
        counts = np.zeros(self.size[1], dtype=np.int64)
        for part in self.parts:
            counts[part.left : part.right] += part.pattern.counts(part.size)
        return counts

    def inked_mm2(self, edges_mm: Sequence[float]) -> list[float]:
        """True image area between each two places across, whole dots from the left."""
        edges = [round(edge * self.dots_per_mm) for edge in edges_mm]
        running = np.concatenate(([0], np.cumsum(self.column_counts())))
        return [float(each) / self.dots_per_mm**2 for each in np.diff(running[np.clip(edges, 0, self.size[1])])]

    @property
    def coverage(self) -> float:
        """True share of the whole plate that takes ink."""
        return float(self.column_counts().sum()) / (self.size[0] * self.size[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Puts parts down in millimetres."""

    dots_per_mm: int
    regular: bytes
    bold: bytes

    def at(self, box_mm: tuple[float, float, float, float], pattern: Pattern) -> Part:
        """``box_mm``: top, left, height, width; to the nearest dot."""
        top, left, height, width = (round(each * self.dots_per_mm) for each in box_mm)
        return Part(top=top, left=left, size=(height, width), pattern=pattern)

    def text(self, lines: Sequence[str], *, size_mm: float, bold: bool = False) -> Lettering:
        font = self.bold if bold else self.regular
        return Lettering(tuple(lines), round(size_mm * self.dots_per_mm), font)


def _overlap(one: Part, other: Part) -> bool:
    return one.top < other.bottom and other.top < one.bottom and one.left < other.right and other.left < one.right
