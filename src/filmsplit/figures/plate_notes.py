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


def _signs(seen: PlateSeen) -> Iterator[tuple[str, str]]:
    """The signs the picture uses, each with its words."""
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
        "zones": [line(whole, stroke=FAINT, stroke_width=0.25, stroke_dasharray="0.4 1.1")],
    }[kind]


def _texts(seen: PlateSeen) -> Iterator[tuple[str, list[str]]]:
    """What to ask and look at first, then how the work came to lie there."""
    asked = [_said(problem) for problem in _sorted(seen.told)]
    if seen.totals.outside_mm2 > 1.0:
        asked.append(label("plate_figure.outside", cm2=f"{seen.totals.outside_mm2 / 100:.3g}"))
    if asked:
        yield label("plate_figure.asked"), asked
    steps = [step.text for step in seen.placed.steps]
    yield label("plate_figure.lies"), steps


def _sorted(told: Iterable[Problem]) -> list[Problem]:
    return sorted(told, key=lambda problem: problem.severity is not Severity.WARNING)


def _said(problem: Problem) -> str:
    return f"{problem.what} {problem.remedy}"
