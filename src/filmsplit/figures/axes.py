"""Axes with round numbers, and the plot they frame: lines told apart by their dashes, bands as light ribbons."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.figures.boxes import Box, Spot
from filmsplit.figures.drawing import FAINT, INK, PAPER, circle, element, group, line, num, text
from filmsplit.figures.lettering import text_width_mm
from filmsplit.messages import scale_read

NUMBER_MM, TITLE_MM = 2.1, 2.3
RIBBON = "#d9d9d9"
DASHES_MM = (None, "2.6 1.2", "0.4 1.1", "4 1 0.6 1")
"""Line kinds in the order they are given out. With more lines than these a chart cannot be read."""
_TICK_MM = 1.2
_BUCKET_MM = 0.2
_WIDE_ENOUGH = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """What an axis measures, its ends, and the values that carry a number."""

    title: str
    low: float
    high: float
    ticks: tuple[float, ...]
    log: bool = False
    scale: float = 1.0
    """How much of what is written there is in one unit of the values: ticks of a length are round to its reader."""

    def part(self, value: float) -> float:
        """Where a value lies between the ends, 0 to 1."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


def round_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 2.5 and 5 times a power of ten that divides ``span`` into at most ``most`` parts."""
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    return next(part * power for part in (1.0, 2.0, 2.5, 5.0, 10.0) if part * power >= raw * (1 - 1e-9))


def round_ticks(low: float, high: float, *, most: int = 6) -> tuple[float, ...]:
    """Round values in even steps from at or below ``low`` to at or above ``high``."""
    if not (math.isfinite(low) and math.isfinite(high)) or high < low:
        raise ValueError("an axis needs two finite ends in order")
    if high - low <= _WIDE_ENOUGH * max(abs(low), abs(high)):
        reach = 0.1 * abs(high) or 1.0
        low, high = low - reach, high + reach
    step = round_step(high - low, most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(_clean(k * step) for k in range(first, last + 1))


def _clean(value: float) -> float:
    """The value without the dust of binary fractions."""
    return float(f"{value:.12g}")


def linear_axis(title: str, low: float, high: float, *, most: int = 6) -> Axis:
    """An axis that ends on round values."""
    ticks = round_ticks(low, high, most=most)
    return Axis(title=title, low=ticks[0], high=ticks[-1], ticks=ticks)


def exact_axis(title: str, low: float, high: float, *, most: int = 8) -> Axis:
    """An axis that ends where the thing itself ends, with round values between."""
    ticks = tuple(tick for tick in round_ticks(low, high, most=most) if low - 1e-9 <= tick <= high + 1e-9)
    return Axis(title=title, low=low, high=high, ticks=ticks)


def length_axis(title: str, low_mm: float, high_mm: float, *, most: int = 8) -> Axis:
    """As :func:`exact_axis`, with values that are round in the lengths its reader has."""
    scale = scale_read()
    round_there = exact_axis(title, low_mm * scale, high_mm * scale, most=most)
    ticks = tuple(tick / scale for tick in round_there.ticks)
    return Axis(title=title, low=low_mm, high=high_mm, ticks=ticks, scale=scale)


def log_axis(title: str, low: float, high: float) -> Axis:
    """A logarithmic axis with 1, 2 and 5 of every power of ten."""
    if not 0 < low < high:
        raise ValueError("a logarithmic axis needs two positive ends in order")
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    ticks = tuple(_clean(k * 10.0**p) for p in powers for k in (1, 2, 5) if low <= _clean(k * 10.0**p) <= high)
    return Axis(title=title, low=low, high=high, ticks=ticks, log=True)


def tick_words(ticks: Sequence[float]) -> list[str]:
    """The values as written: all with as many decimals as the finest needs."""
    places = max((len(f"{tick:.10f}".rstrip("0").partition(".")[2]) for tick in ticks), default=0)
    return [f"{tick + 0.0:.{places}f}" for tick in ticks]


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """Sizes of an axis's lettering, and how far from the plot the lines of numbers and of the titles stand."""

    number_mm: float = NUMBER_MM
    title_mm: float = TITLE_MM
    numbers_below_mm: float = 3.8
    title_below_mm: float = 7.6
    title_above_mm: float = 2.4


ON_SCREEN = Letters()
ON_PAPER = Letters(number_mm=3.2, title_mm=3.2, numbers_below_mm=5.0, title_below_mm=9.8)
"""9 pt, to be read at a press: a drawing that is printed in its own size."""


@dataclass(frozen=True, slots=True)
class Plot:
    """A frame on paper with its two axes."""

    box: Box
    x: Axis
    y: Axis
    letters: Letters = ON_SCREEN

    def at(self, x: float, y: float) -> Spot:
        """Where a pair of values lies on paper."""
        left, top, right, bottom = self.box
        return left + (right - left) * self.x.part(x), bottom - (bottom - top) * self.y.part(y)

    def frame(self, *, numbers_below: bool = True) -> list[str]:
        """Both axes with ticks and numbers, faint level lines, and the titles."""
        left, top, right, bottom = self.box
        parts = self._levels()
        parts.append(line([(left, top), (left, bottom), (right, bottom)], stroke=INK, stroke_width=0.3))
        parts += self._numbers_below() if numbers_below else self._ticks_below()
        title_mm = self.letters.title_mm
        parts.append(text(self.y.title, (left, top - self.letters.title_above_mm), size=title_mm))
        if numbers_below:
            below = bottom + self.letters.title_below_mm
            parts.append(text(self.x.title, (right, below), size=title_mm, anchor="end"))
        return parts

    def _levels(self) -> list[str]:
        left, _, right, _ = self.box
        parts, size = [], self.letters.number_mm
        for tick, words in zip(self.y.ticks, tick_words(self.y.ticks), strict=True):
            y = self.at(self.x.low, tick)[1]
            parts.append(line([(left - _TICK_MM, y), (right, y)], stroke=FAINT, stroke_width=0.1))
            parts.append(text(words, (left - 2.0, y + 0.36 * size), size=size, anchor="end"))
        return parts

    def _ticks_below(self) -> list[str]:
        bottom = self.box.bottom
        spots = [self.at(tick, self.y.low)[0] for tick in self.x.ticks]
        return [line([(x, bottom), (x, bottom + _TICK_MM)], stroke=INK, stroke_width=0.2) for x in spots]

    def _numbers_below(self) -> list[str]:
        """Every tick; its number only where it keeps clear of the one before."""
        parts, end, size = self._ticks_below(), -math.inf, self.letters.number_mm
        base = self.box.bottom + self.letters.numbers_below_mm
        for tick, words in zip(self.x.ticks, tick_words_each(self.x), strict=True):
            x, half = self.at(tick, self.y.low)[0], text_width_mm(words, size) / 2
            if x - half > end:
                parts.append(text(words, (x, base), size=size, anchor="middle"))
                end = x + half + 1.0
        return parts

    def curve(self, xs: Sequence[float], ys: Sequence[float], *, dash: str | None = None, width: float = 0.5) -> str:
        """A line through the pairs; it breaks where a value is not a number."""
        cap = "butt" if dash else None
        look = {"stroke": INK, "stroke_width": width, "stroke_dasharray": dash, "stroke_linecap": cap}
        return group([line(run, **look) for run in self.runs(xs, ys) if len(run) > 1] + self._lone(xs, ys))

    def _lone(self, xs: Sequence[float], ys: Sequence[float]) -> list[str]:
        """A value with no neighbour is a dot: a line through one point would not be seen."""
        return [circle(*run[0], 0.5, fill=INK) for run in self.runs(xs, ys) if len(run) == 1]

    def runs(self, xs: Sequence[float], ys: Sequence[float]) -> list[list[Spot]]:
        """The pairs on paper, in unbroken runs, no finer than can be seen."""
        runs: list[list[Spot]] = [[]]
        for x, y in zip(xs, ys, strict=True):
            if math.isfinite(y):
                runs[-1].append(self.at(float(x), float(y)))
            elif runs[-1]:
                runs.append([])
        return [thinned(run) for run in runs if run]

    def ribbon(self, xs: Sequence[float], edges: tuple[Sequence[float], Sequence[float]]) -> str:
        """The room between two lines, light grey, its edges drawn: it shows on a photocopy too."""
        ways = []
        for under, over in zip(self.runs(xs, edges[0]), self.runs(xs, edges[1]), strict=True):
            ways.append("M" + "L".join(f"{num(a)} {num(b)}" for a, b in [*under, *reversed(over)]) + "z")
        return element("path", d="".join(ways), fill=RIBBON, stroke=FAINT, stroke_width=0.15) if ways else ""


def tick_words_each(axis: Axis) -> list[str]:
    """As written below an axis: on a logarithmic one each value for itself."""
    ticks = [_clean(tick * axis.scale) for tick in axis.ticks] if axis.scale != 1.0 else axis.ticks
    return [f"{tick:g}" for tick in ticks] if axis.log else tick_words(ticks)


def thinned(points: Sequence[Spot]) -> list[Spot]:
    """The points without what lies closer than can be seen: first, lowest, highest and last of every stretch."""
    kept: list[Spot] = []
    start = 0
    while start < len(points):
        end = start
        while end < len(points) and points[end][0] < points[start][0] + _BUCKET_MM:
            end += 1
        end = max(end, start + 1)
        stretch = range(start, end)
        chosen = {start, end - 1, min(stretch, key=lambda i: points[i][1]), max(stretch, key=lambda i: points[i][1])}
        kept += [points[i] for i in sorted(chosen)]
        start = end
    return kept


def draw_key(rows: Sequence[tuple[str | None, str]], at: Spot, *, ribbon: str = "") -> list[str]:
    """Line kinds and what they stand for, one row each, from ``at`` down; last the ribbon, where told."""
    parts = []
    for i, (dash, words) in enumerate(rows):
        y = at[1] + 4.2 * i
        cap = "butt" if dash else None
        look = {"stroke": INK, "stroke_width": 0.5, "stroke_dasharray": dash, "stroke_linecap": cap}
        parts.append(line([(at[0], y), (at[0] + 9.0, y)], **look))
        parts.append(text(words, (at[0] + 11.0, y + 0.36 * TITLE_MM), size=TITLE_MM))
    if ribbon:
        y = at[1] + 4.2 * len(rows)
        place = {"x": float(at[0]), "y": float(y - 1.2), "width": 9.0, "height": 2.4}
        parts.append(element("rect", fill=RIBBON, stroke=FAINT, stroke_width=0.15, **place))
        parts.append(text(ribbon, (at[0] + 11.0, y + 0.36 * TITLE_MM), size=TITLE_MM))
    return parts


def ring(at: Spot, *, filled: bool) -> str:
    """A mark on a line: open or filled."""
    return circle(*at, 0.9, fill=INK if filled else PAPER, stroke=INK, stroke_width=0.3)
