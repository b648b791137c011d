"""Flags on poles: words above a plot for places along it. No flag covers another, and no pole runs through words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from filmsplit.figures.boxes import Box
from filmsplit.figures.lettering import LINE_STEP, text_width_mm, wrapped

MOST = 6
"""More cannot be told at a glance; every arrangement of so many is looked at."""
_WIDTHS_MM = (60.0, 40.0, 26.0)
"""Widths the words are broken to, the widest first: narrower flags find room where wide ones do not."""
_GAP_MM = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """Words in lines, their box on paper, and where the pole stands."""

    lines: tuple[str, ...]
    box: Box
    pole_mm: float

    @property
    def at_right(self) -> bool:
        """Whether the words stand at the right of the pole."""
        return self.box.left > self.pole_mm


def place_flags(told: Sequence[tuple[float, str]], *, room: Box, size_mm: float) -> tuple[Flag, ...] | None:
    """A flag for each place (mm along the paper, words), stacked upwards from the bottom of ``room``.

    The fewest rows at the widest setting that works; ``None`` where nothing does. ``room`` bounds left and right, its
    top does not count. ``ValueError`` for more than :data:`MOST`.
    """
    if len(told) > MOST:
        raise ValueError(f"more than {MOST} flags cannot be told at a glance")
    poles = [at for at, _ in told]
    for width_mm in _WIDTHS_MM:
        lines = [tuple(wrapped(words, width_mm, size_mm)) for _, words in told]
        widths = [max((text_width_mm(each, size_mm) for each in many), default=0.0) for many in lines]
        high = size_mm * LINE_STEP * max(map(len, lines), default=0) + _GAP_MM
        found = _fewest_rows(poles, widths, room)
        if found is not None:
            boxes = [_box(row, span, high=high, bottom=room.bottom) for row, span in found]
            return tuple(Flag(lines=a, box=b, pole_mm=c) for a, b, c in zip(lines, boxes, poles, strict=True))
    return None


def _box(row: int, span: tuple[float, float], *, high: float, bottom: float) -> Box:
    return Box(span[0], bottom - (row + 1) * high, span[1], bottom - row * high - _GAP_MM)


def _fewest_rows(
    poles: Sequence[float], widths: Sequence[float], room: Box
) -> list[tuple[int, tuple[float, float]]] | None:
    """Row and span of each flag, words at the right of the poles where that costs no row."""
    best: list[tuple[int, tuple[float, float]]] | None = None
    least = math.inf
    for sides in product((True, False), repeat=len(poles)):
        spans = [_span(at, width, right=right) for at, width, right in zip(poles, widths, sides, strict=True)]
        rows = _rows(poles, spans, room)
        if rows is not None and max(rows, default=0) < least:
            best, least = list(zip(rows, spans, strict=True)), max(rows, default=0)
    return best


def _span(at: float, width: float, *, right: bool) -> tuple[float, float]:
    return (at + _GAP_MM, at + _GAP_MM + width) if right else (at - _GAP_MM - width, at - _GAP_MM)


def _rows(poles: Sequence[float], spans: Sequence[tuple[float, float]], room: Box) -> list[int] | None:
    """The lowest row for each flag; ``None`` where one is off the paper or two would have to be above each other.

    A flag over another's pole stands above that pole's flag; flags whose words would meet stand in different rows.
    """
    if any(left < room.left or right > room.right for left, right in spans):
        return None
    count = len(poles)
    under = [{j for j in range(count) if j != i and _meets(spans[i], (poles[j], poles[j]))} for i in range(count)]
    rows: dict[int, int] = {}
    while len(rows) < count:
        ready = [i for i in range(count) if i not in rows and under[i] <= rows.keys()]
        if not ready:
            return None
        one = ready[0]
        row = max((rows[j] + 1 for j in under[one]), default=0)
        while any(rows[j] == row and _meets(spans[one], spans[j]) for j in rows):
            row += 1
        rows[one] = row
    return [rows[i] for i in range(count)]


def _meets(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether two spans come closer than half the gap between a pole and its words."""
    return one[0] - _GAP_MM / 2 < other[1] and other[0] < one[1] + _GAP_MM / 2
