"""Measured marks on the sheet, to scale, with the places where the best two suspects would put them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.faults.result import MarkMatch, RankedSuspect
from filmsplit.faults.travel import Window, window_of
from filmsplit.figures.drawing import ACCENT, FAINT, INK, PAPER, Drawing, element, finish, group, line, num, text
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM, PAPERS_MM, SCALES
from filmsplit.messages import label
from filmsplit.press import Press

MOST_TICKS = 400
"""A gear's marks stand close; more than these are not drawn one by one."""
_LANE_MM = 13.0
_HEAD_MM = 26.0
_CAPTION_MM = 9.0
_FOOT_MM = 14.0
_NAME_MM, _FIGURE_MM, _TITLE_MM = 2.4, 2.1, 5.0
_TICK_MM = 4.2
_SIGMAS = 2.0
_ALL_BUT_SURE = 0.995
"""From here on rounding would claim certainty."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One place on a sheet: millimetres from the lead edge, and how far it may be out (one standard deviation)."""

    sheet: int
    mm: float
    sd_mm: float


@dataclass(frozen=True, slots=True)
class _Lane:
    """One strip: what it shows, and its ticks by sheet."""

    name: str
    kind: int
    ticks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class _Strip:
    """Where the lanes stand and how millimetres of sheet become millimetres of paper."""

    left: float
    scale: float
    visible_mm: float

    def x(self, mm: float) -> float:
        return self.left + mm / self.scale


def draw_marks(press: Press, match: MarkMatch, *, sheet_length_mm: float | None = None, paper: str = "A4") -> Drawing:
    """The sheets the marks were measured on, lead edge at the left; one strip for the marks, one for each suspect."""
    best = match.ranked[:2]
    unit = press.unit(best[0].suspect.unit) if best else press.units[0]
    window = window_of(press, unit, sheet_length_mm=sheet_length_mm)
    width = PAPERS_MM[paper][1]
    strip = _Strip(MARGIN_MM, _scale(window.visible_mm, width - 2 * MARGIN_MM), window.visible_mm)
    lanes = _lanes(match, best, window)
    sheets = range(match.marks[0].sheet, match.marks[-1].sheet + 1)
    height = _HEAD_MM + len(sheets) * (len(lanes) * _LANE_MM + _CAPTION_MM) + _FOOT_MM
    parts = _head(press, match, width=width, scale=strip.scale)
    top = _HEAD_MM
    for sheet in sheets:
        parts += _draw_sheet(sheet - sheets[0] + 1, [_on(lane, sheet) for lane in lanes], strip, top=top)
        top += len(lanes) * _LANE_MM + _CAPTION_MM
    parts += _legend(lanes, top + 2.0)
    title = label("figure.marks-title", press=press.name or press.id)
    return finish(parts, size_mm=(width, height), title=title, alt=_alt(press, match, lanes))


def predicted(ranked: RankedSuspect, window: Window, sheets: Sequence[int]) -> tuple[Tick, ...]:
    """Where a suspect marks the sheets, hung on the measured marks it explains."""
    explained = list(zip(ranked.marks, ranked.counts, ranked.residuals_mm, strict=True))
    start = sum(window.travel_mm(m.sheet, m.mm) - n * ranked.expected_mm for m, n, _ in explained) / len(explained)
    middle = sum(n for _, n, _ in explained) / len(explained)
    low, high = window.travel_mm(sheets[0], 0.0), window.travel_mm(sheets[-1], window.visible_mm)
    first = math.ceil((low - start) / ranked.expected_mm)
    ticks: list[Tick] = []
    for count in range(first, first + MOST_TICKS):
        travel = start + count * ranked.expected_mm
        if travel > high:
            break
        sheet, mm = window.on_sheet(travel)
        if travel >= low and window.shows(travel):
            ticks.append(Tick(sheet, mm, abs(count - middle) * ranked.expected_sd_mm))
    return tuple(ticks)


def _lanes(match: MarkMatch, best: tuple[RankedSuspect, ...], window: Window) -> list[_Lane]:
    sheets = range(match.marks[0].sheet, match.marks[-1].sheet + 1)
    measured = tuple(Tick(mark.sheet, mark.mm, 0.0) for mark in match.marks)
    lanes = [_Lane(label("figure.marks-measured"), 0, measured)]
    for kind, ranked in enumerate(best, start=1):
        percent = (
            f"{100 * ranked.probability:.0f}" if ranked.probability < _ALL_BUT_SURE else label("figure.marks-sure")
        )
        name = label("figure.marks-suspect", name=ranked.suspect.name, percent=percent, mm=f"{ranked.expected_mm:.1f}")
        lanes.append(_Lane(name, kind, predicted(ranked, window, sheets)))
    return lanes


def _on(lane: _Lane, sheet: int) -> _Lane:
    return _Lane(lane.name, lane.kind, tuple(tick for tick in lane.ticks if tick.sheet == sheet))


def _scale(length_mm: float, room_mm: float) -> float:
    return next((scale for scale in SCALES if length_mm / scale <= room_mm), SCALES[-1])


def _head(press: Press, match: MarkMatch, *, width: float, scale: float) -> list[str]:
    title = label("figure.marks-title", press=press.name or press.id)
    words = label("figure.marks-view", scale=f"{scale:g}")
    rule = line([(MARGIN_MM, 21.0), (width - MARGIN_MM, 21.0)], stroke=INK, stroke_width=0.35)
    parts = [
        text(title, (MARGIN_MM, 13.0), size=_TITLE_MM, bold=True),
        text(words, (MARGIN_MM, 18.0), size=_NAME_MM),
        text(match.finding.text, (width - MARGIN_MM, 18.0), size=_NAME_MM, anchor="end"),
    ]
    if press.invented:
        parts.append(text(label("figure.invented"), (width - MARGIN_MM, 13.0), size=_NAME_MM, anchor="end"))
    return [*parts, rule]


def _draw_sheet(number: int, lanes: list[_Lane], strip: _Strip, *, top: float) -> list[str]:
    """One sheet: a caption, then a lane for the marks and one for each suspect, lined up."""
    caption = text(label("figure.marks-sheet", number=number), (strip.left, top + 2.6), size=_NAME_MM, bold=True)
    parts = [caption, *_draw_lead_edge(strip, top + 4.0, len(lanes))]
    for i, lane in enumerate(lanes):
        parts += _draw_lane(lane, strip, top + 4.0 + i * _LANE_MM)
    return parts


def _draw_lead_edge(strip: _Strip, top: float, lanes: int) -> list[str]:
    """The paper of the sheet: a heavy lead edge at the left, a thin tail edge."""
    low = top + lanes * _LANE_MM
    frame = element(
        "rect",
        x=float(strip.left),
        y=float(top),
        width=float(strip.visible_mm / strip.scale),
        height=float(low - top),
        fill=PAPER,
        stroke=FAINT,
        stroke_width=0.2,
    )
    return [frame, line([(strip.left, top), (strip.left, low)], stroke=INK, stroke_width=1.0)]


def _draw_lane(lane: _Lane, strip: _Strip, top: float) -> list[str]:
    base = top + _LANE_MM - 1.2
    parts = [
        text(lane.name, (strip.left + 2.0, top + 3.0), size=_FIGURE_MM),
        line(
            [(strip.left, top + _LANE_MM), (strip.x(strip.visible_mm), top + _LANE_MM)], stroke=FAINT, stroke_width=0.12
        ),
    ]
    for tick in lane.ticks:
        parts += draw_tick(lane.kind, strip.x(tick.mm), base, reach=_SIGMAS * tick.sd_mm / strip.scale)
    return [*parts, group(_figures(lane, strip, base - _TICK_MM - 0.6))]


def draw_tick(kind: int, x: float, base: float, *, reach: float) -> list[str]:
    """A measured mark as a heavy bar, the first suspect as a filled wedge, the second as an open one."""
    if kind == 0:
        return [line([(x, base), (x, base - _TICK_MM)], stroke=ACCENT, stroke_width=0.9, stroke_linecap="butt")]
    shape = f"M{num(x)} {num(base - _TICK_MM)}l1.1 2.6h-2.2z"
    spread = [] if reach < 0.4 else [line([(x - reach, base), (x + reach, base)], stroke=INK, stroke_width=0.5)]
    foot = line([(x, base - _TICK_MM + 2.6), (x, base)], stroke=INK, stroke_width=0.3)
    wedge = element("path", d=shape, fill=INK if kind == 1 else PAPER, stroke=INK, stroke_width=0.3)
    return [*spread, foot, wedge]


def _figures(lane: _Lane, strip: _Strip, base: float) -> list[str]:
    """Distances above the ticks, left out where they would run into the one before."""
    parts, end = [], strip.left
    for tick in lane.ticks:
        words = label("figure.marks-mm", mm=f"{tick.mm:.1f}")
        half = text_width_mm(words, _FIGURE_MM) / 2
        x = min(max(strip.x(tick.mm), strip.left + half + 0.8), strip.x(strip.visible_mm) - half)
        if x - half >= end:
            parts.append(text(words, (x, base), size=_FIGURE_MM, anchor="middle"))
            end = x + half + 1.5
    return parts


def _legend(lanes: list[_Lane], top: float) -> list[str]:
    keys = ("figure.marks-key-measured", "figure.marks-key-first", "figure.marks-key-second")
    parts, x = [], MARGIN_MM + 2.0
    for lane, key in zip(lanes, keys, strict=False):
        words = label(key)
        parts += draw_tick(lane.kind, x, top + _TICK_MM, reach=1.6 if lane.kind else 0.0)
        parts.append(text(words, (x + 3.0, top + 3.4), size=_FIGURE_MM))
        x += text_width_mm(words, _FIGURE_MM) + 12.0
    return parts


def _alt(press: Press, match: MarkMatch, lanes: list[_Lane]) -> str:
    marks = ", ".join(label("figure.marks-mm", mm=f"{mark.mm:g}") for mark in match.marks)
    names = "; ".join(lane.name for lane in lanes[1:]) or match.finding.text
    return label("figure.marks-alt", press=press.name or press.id, marks=marks, suspects=names)
