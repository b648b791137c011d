"""Above the picture of a plate: each ink zone at its place with a bar, its percent and its number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import FAINT, INK, PAPER, element, group, line, num, text
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.plate_look import Look
from filmsplit.figures.plate_seen import Lie, PlateSeen
from filmsplit.messages import label

_CLEAR_MM = 0.4
"""Between letters and the line of the next zone."""
_EVERY = (2, 5, 10, 20, 50)
_HIGH, _LOW = 0.72, 0.2
"""Figures above and below their baseline, in parts of the size."""


@dataclass(frozen=True, slots=True)
class _Row:
    """How one row of words is set: every ``every``-th zone has its own, ``turned`` or level."""

    size_mm: float
    bold: bool
    turned: bool = False
    every: int = 1


def draw_zone_ends(seen: PlateSeen, lie: Lie) -> list[str]:
    """Down the plate where a zone ends, as far as anything can print."""
    parts = []
    down = min(seen.plate.usable_mm, lie.round_mm)
    for edge in seen.zone_edges_mm:
        ends = [lie.at(along, float(edge)) for along in (0.0, down)]
        parts.append(line(ends, stroke=PAPER, stroke_width=0.4))
        parts.append(line(ends, stroke=FAINT, stroke_width=0.15, stroke_dasharray="0.4 1.1"))
    return parts


def draw_zones(seen: PlateSeen, lie: Lie, *, look: Look) -> list[str]:
    """Bars, percents where they fit, numbers, and a line that says what they are."""
    rooms = _rooms(seen, lie, look)
    percents = [_percent(100 * float(share), short=look.alone) for share in seen.zone_shares]
    numbers = [str(number) for number in range(1, len(rooms) + 1)]
    percent_row = _set_row(percents, rooms, bold=False, look=look)
    number_row = _set_row(numbers, rooms, bold=True, look=look) or _thinned_row(numbers, rooms, look)
    parts = [_said(seen, lie, look=look, with_percents=percent_row is not None), *_bars(seen, rooms, look=look)]
    if percent_row is not None:
        upper = [Box(room.left, room.top, room.right, room.bottom - look.row_mm) for room in rooms]
        parts += _words(percents, upper, row=percent_row, look=look)
    parts += _words(numbers, rooms, row=number_row, look=look)
    top, base = rooms[0].top, rooms[0].bottom
    down = base if number_row.every == 1 else base - look.row_mm
    ends = [rooms[0].left, *(room.right for room in rooms)]
    parts += [line([(x, top), (x, down)], stroke=INK, stroke_width=0.2) for x in ends]
    return [*parts, line([(ends[0], top), (ends[-1], top)], stroke=INK, stroke_width=0.2)]


def _percent(percent: float, *, short: bool) -> str:
    """In tenths; for paper only where they count, under ten, as beside the keys."""
    if not short:
        return f"{percent:.1f}"
    if percent == 0:
        return "0"
    return f"{percent:.1f}" if percent < 9.95 else f"{percent:.0f}"


def _rooms(seen: PlateSeen, lie: Lie, look: Look) -> list[Box]:
    """For each zone the two rows below its bar."""
    base = lie.box.top - look.edge_mm
    edges = [lie.at(0.0, float(edge))[0] for edge in seen.zone_edges_mm]
    return [Box(left, base - 2 * look.row_mm, right, base) for left, right in pairwise(edges)]


def _said(seen: PlateSeen, lie: Lie, *, look: Look, with_percents: bool) -> str:
    of = "plate_figure.zones-of-plate" if seen.placement.sheet is None else "plate_figure.zones-of-sheet"
    words = label(of)
    if not with_percents:
        words = label("plate_figure.zones-narrow", most=f"{100 * float(seen.zone_shares.max()):.1f}")
    return text(words, (lie.box.left, look.top_mm + 4.0), size=look.words_mm, bold=True)


def _bars(seen: PlateSeen, rooms: Sequence[Box], *, look: Look) -> list[str]:
    shares = seen.zone_shares
    most = max(float(shares.max()), 1e-12)
    bars = []
    for room, share in zip(rooms, shares, strict=True):
        high = float(look.bar_mm * share / most)
        place = {"x": room.left + 0.4, "y": room.top - high, "width": room.right - room.left - 0.8, "height": high}
        bars.append(element("rect", fill=INK, stroke=INK, stroke_width=0.1, **place))
    return bars


def _set_row(words: Sequence[str], rooms: Sequence[Box], *, bold: bool, look: Look) -> _Row | None:
    """Level as large as it fits, else turned, else not at all."""
    for size in look.zone_mm:
        wide = [text_width_mm(each, size, bold=bold) for each in words]
        free = [room.right - room.left - 2 * _CLEAR_MM for room in rooms]
        if look.squeezed or all(a <= b for a, b in zip(wide, free, strict=True)):
            return _Row(size, bold)
    if max(wide) <= look.row_mm - _CLEAR_MM and (_HIGH + _LOW) * size <= min(free):
        return _Row(size, bold, turned=True)
    return None


def _thinned_row(words: Sequence[str], rooms: Sequence[Box], look: Look) -> _Row:
    """The numbers of some zones only, as many as keep clear of each other."""
    size = look.zone_mm[-1]
    narrow = min(room.right - room.left for room in rooms)
    wide = max(text_width_mm(each, size, bold=True) for each in words) + 2 * _CLEAR_MM
    every = next((each for each in _EVERY if each * narrow >= wide), len(words))
    return _Row(size, bold=True, every=every)


def _words(words: Sequence[str], rooms: Sequence[Box], *, row: _Row, look: Look) -> list[str]:
    """Each in the lower row of its room; some of them only where the row says so."""
    parts = []
    for number, (each, room) in enumerate(zip(words, rooms, strict=True), start=1):
        if number % row.every:
            continue
        middle = (room.left + room.right) / 2
        if row.turned:
            spot = (middle + (_HIGH - _LOW) / 2 * row.size_mm, room.bottom - 0.5)
            parts.append(_turned(each, spot, row))
        else:
            parts.append(
                text(
                    each,
                    (middle, room.bottom - 0.9),
                    size=_fitted(each, room, row=row, look=look),
                    bold=row.bold,
                    anchor="middle",
                )
            )
    return parts


def _fitted(words: str, room: Box, *, row: _Row, look: Look) -> float:
    """Smaller in a narrow zone, where the look allows."""
    if not look.squeezed:
        return row.size_mm
    free = room.right - room.left - 2 * _CLEAR_MM
    return min(row.size_mm, row.size_mm * free / text_width_mm(words, row.size_mm, bold=row.bold))


def _turned(words: str, at: tuple[float, float], row: _Row) -> str:
    """Read from below."""
    way = f"translate({num(at[0])} {num(at[1])}) rotate(-90)"
    return group([text(words, (0.0, 0.0), size=row.size_mm, bold=row.bold)], transform=way)
