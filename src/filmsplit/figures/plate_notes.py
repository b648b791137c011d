"""Beside the picture of a plate: what its signs mean, how the work lies, what is to be asked before it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from filmsplit.artwork import WorkStyle
from filmsplit.figures.boxes import Spot
from filmsplit.figures.classes import Hatch
from filmsplit.figures.drawing import FAINT, INK, element, line, text
from filmsplit.figures.lettering import LINE_STEP, wrapped
from filmsplit.figures.plate_seen import PlateSeen, greys, step_of
from filmsplit.figures.signs import pattern_id
from filmsplit.messages import Problem, label
from filmsplit.messages.problem import Severity

PANEL_MM = 62.0
SHOWN = (0.0, 0.02, 0.05, 0.10, 0.20, 0.35, 0.50, 0.75, 1.0)
"""Shares whose greys stand beside the picture."""
SIGNS_MM = 64.0
"""Least width of a column that says on paper what the signs mean."""
CUT_DASHES = "3 2"
_LETTER_MM, _CLEAR_MM = 3.2, 1.8
_SWATCH_MM = (7.0, 4.4)
_WORDS_MM, _HEAD_MM, _ROW_MM = 2.1, 2.3, 5.2


def draw_notes(seen: PlateSeen, at: Spot) -> tuple[list[str], float]:
    """The panel with its top left corner at ``at``, and how far down it reaches."""
    left, y = at
    parts, y = _scale((left, y))
    for draw, words in _signs(seen):
        parts += [*_sign(draw, left, y), text(words, (left + 10.0, y + 0.8), size=_WORDS_MM)]
        y += _ROW_MM
    y += 2.0
    for head, lines in _texts(seen):
        parts.append(text(head, (left, y), size=_HEAD_MM, bold=True))
        y += _HEAD_MM * LINE_STEP + 0.8
        for words in lines:
            rows = wrapped(words, PANEL_MM - 3.0, _WORDS_MM)
            parts.append(text("·", (left, y), size=_WORDS_MM, bold=True))
            for row in rows:
                parts.append(text(row, (left + 2.4, y), size=_WORDS_MM))
                y += _WORDS_MM * LINE_STEP
            y += 0.8
        y += 2.4
    return parts, y


def draw_signs(seen: PlateSeen, at: Spot, *, width_mm: float, shown_mm: float) -> tuple[list[str], float]:
    """For paper: what the signs mean in as many columns as there is width for, and how far down they reach.

    ``shown_mm`` is how much of once round the plate is drawn; image that no zone feeds is told last, in full width.
    """
    parts, lows = [], [at[1]]
    entries = [*_signs(seen, with_zones=False), *_cut(seen, shown_mm)]
    columns = max(1, int(width_mm // SIGNS_MM))
    each_mm = width_mm / columns
    for first in range(0, len(entries), columns):
        y = lows[-1] + _LETTER_MM
        for column, (kind, words) in enumerate(entries[first : first + columns]):
            left = at[0] + column * each_mm
            rows = wrapped(words, each_mm - 12.0, _LETTER_MM)
            parts += [*_sign(kind, left, y - 0.36 * _LETTER_MM), *_lines(rows, (left + 9.0, y))]
            lows.append(y + (len(rows) - 1) * _LETTER_MM * LINE_STEP + _CLEAR_MM)
        lows = [max(lows)]
    beside = [words for told in _outside(seen) for words in wrapped(told, width_mm, _LETTER_MM)]
    parts += _lines(beside, (at[0], lows[-1] + _LETTER_MM))
    return parts, lows[-1] + len(beside) * _LETTER_MM * LINE_STEP + 1.0


def _lines(rows: list[str], at: Spot) -> list[str]:
    step = _LETTER_MM * LINE_STEP
    return [text(row, (at[0], at[1] + number * step), size=_LETTER_MM) for number, row in enumerate(rows)]


def _cut(seen: PlateSeen, shown_mm: float) -> Iterator[tuple[str, str]]:
    if shown_mm < seen.round_mm - 1e-9:
        yield "cut", label("plate_figure.cut", mm=f"{seen.round_mm:.0f}", gap=f"{seen.plate.gap_mm:.3g}")


def _scale(at: Spot) -> tuple[list[str], float]:
    """White, and the greys of some shares, each with its percent."""
    left, top = at
    parts = [text(label("plate_figure.scale"), (left, top), size=_HEAD_MM, bold=True)]
    wide, high = _SWATCH_MM
    y = top + 3.0
    for share in SHOWN:
        look = {"x": float(left), "y": float(y), "width": wide, "height": high}
        parts.append(element("rect", fill=greys()[int(step_of(share))], stroke=INK, stroke_width=0.12, **look))
        parts.append(text(f"{100 * share:g}", (left + 10.0, y + high / 2 + 0.36 * _WORDS_MM), size=_WORDS_MM))
        y += high
    return parts, y + 5.0


def _signs(seen: PlateSeen, *, with_zones: bool = True) -> Iterator[tuple[str, str]]:
    """The signs the picture uses, each with its words; the ends of zones only where they are to be told."""
    sheet = seen.placement.sheet
    if sheet is not None:
        yield "sheet", label("plate_figure.sheet", across=f"{sheet.width_mm:g}", along=f"{sheet.length_mm:g}")
        if sheet.gripper_mm > 0:
            yield "grippers", label("plate_figure.grippers", mm=f"{sheet.gripper_mm:g}")
    if seen.picture_mm is not None:
        down, across = seen.picture_mm
        yield "picture", label("plate_figure.picture", across=f"{across:.4g}", down=f"{down:.4g}")
        yield "top", label("plate_figure.top")
    if seen.placement.style is not WorkStyle.SHEETWISE:
        yield "fold", label("plate_figure.fold", style=label(f"work_style.{seen.placement.style.value}"))
    if seen.lay is not None:
        yield "guide", label("plate_figure.guide", side=label(f"plate_lay.{seen.lay.value}"))
    if with_zones:
        yield "zones", label("plate_figure.zone-line")


def _sign(kind: str, left: float, y: float) -> list[str]:
    box = {"x": float(left), "y": float(y - 1.8), "width": 7.0, "height": 3.6}
    whole = [(left, y), (left + 7.0, y)]
    return {
        "sheet": [element("rect", fill="none", stroke=INK, stroke_width=0.7, **box)],
        "grippers": [element("rect", fill=f"url(#{pattern_id(Hatch.DOTTED)})", stroke=FAINT, stroke_width=0.2, **box)],
        "picture": [element("rect", fill="none", stroke=INK, stroke_width=0.3, stroke_dasharray="1.6 1", **box)],
        "top": [element("path", d=f"M{left + 3.5:.2f} {y - 1.4:.2f}l-1.5 2.6h3z", fill=INK)],
        "fold": [line(whole, stroke=INK, stroke_width=0.35, stroke_dasharray="4 1 0.6 1")],
        "guide": [element("path", d=f"M{left + 2.0:.2f} {y:.2f}l3 -1.6v3.2z", fill=INK)],
        "cut": [line(whole, stroke=INK, stroke_width=0.25, stroke_dasharray=CUT_DASHES)],
        "zones": [line(whole, stroke=FAINT, stroke_width=0.25, stroke_dasharray="0.4 1.1")],
    }[kind]


def _texts(seen: PlateSeen) -> Iterator[tuple[str, list[str]]]:
    """What to ask and look at first, then how the work came to lie there."""
    asked = [*(_said(problem) for problem in _sorted(seen.told)), *_outside(seen)]
    if asked:
        yield label("plate_figure.asked"), asked
    steps = [step.text for step in seen.placed.steps]
    yield label("plate_figure.lies"), steps


def _outside(seen: PlateSeen) -> Iterator[str]:
    if seen.totals.outside_mm2 > 1.0:
        yield label("plate_figure.outside", cm2=f"{seen.totals.outside_mm2 / 100:.3g}")


def _sorted(told: Iterable[Problem]) -> list[Problem]:
    return sorted(told, key=lambda problem: problem.severity is not Severity.WARNING)


def _said(problem: Problem) -> str:
    return f"{problem.what} {problem.remedy}"
