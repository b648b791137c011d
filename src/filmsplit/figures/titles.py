"""Title, scale bar, notes at the foot, and the drawing in words for those who cannot see it."""

from __future__ import annotations

from filmsplit.figures.drawing import INK, PAPER, element, line, text
from filmsplit.figures.lettering import text_width_mm, wrapped
from filmsplit.figures.lines import Tells
from filmsplit.figures.page import MARGIN_MM, Page
from filmsplit.figures.stage import Stage, unit_name
from filmsplit.messages import label
from filmsplit.press import Press, Unit

_TITLE_MM, _SUBTITLE_MM, _NOTE_MM = 5.2, 2.5, 2.1
_BAR_STEPS_MM = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


def title_of(press: Press, units: tuple[Unit, ...]) -> str:
    """Press and unit in the shop's words."""
    name = press.name or press.id
    if len(units) != 1 or len(press.units) == 1:
        return name
    return label("figure.title-unit", press=name, unit=unit_name(units[0]))


def draw_title(press: Press, units: tuple[Unit, ...], page: Page, *, words: str) -> list[str]:
    """The title, the ``words`` below it, and whether the press is invented."""
    top = MARGIN_MM
    title = title_of(press, units)
    parts = [text(title, (MARGIN_MM, top + 4.6), size=_TITLE_MM, bold=True)]
    parts.append(text(words, (MARGIN_MM, top + 9.4), size=_SUBTITLE_MM))
    if press.invented:
        note = label("figure.invented")
        left = page.width_mm - MARGIN_MM - text_width_mm(note, _SUBTITLE_MM)
        parts.append(text(note, (left, top + 4.6), size=_SUBTITLE_MM))
    rule = line([(MARGIN_MM, top + 11.6), (page.width_mm - MARGIN_MM, top + 11.6)], stroke=INK, stroke_width=0.35)
    return [*parts, rule]


def draw_foot(page: Page, more: list[str]) -> list[str]:
    """The scale bar, and what a reader must know: not drawn, safety."""
    base = page.height_mm - MARGIN_MM
    parts = _scale_bar(page, base - 3.6)
    notes = [*more, label("figure.caution")]
    lines = [part for note in notes for part in wrapped(note, page.width_mm * 0.55, _NOTE_MM)]
    y = base - (len(lines) - 1) * 2.7
    for words in lines:
        left = page.width_mm - MARGIN_MM - text_width_mm(words, _NOTE_MM)
        parts.append(text(words, (left, y), size=_NOTE_MM))
        y += 2.7
    return parts


def _scale_bar(page: Page, y: float) -> list[str]:
    """About fifty millimetres of paper, four parts black and white by turns, labelled in machine millimetres."""
    length = max(step for step in _BAR_STEPS_MM if step / page.scale <= 60)
    part = length / page.scale / 4
    rects = [
        element(
            "rect",
            x=float(MARGIN_MM + i * part),
            y=float(y),
            width=float(part),
            height=1.3,
            fill=PAPER if i % 2 else INK,
            stroke=INK,
            stroke_width=0.2,
        )
        for i in range(4)
    ]
    end = MARGIN_MM + 4 * part
    words = [
        text("0", (MARGIN_MM, y + 3.8), size=_NOTE_MM),
        text(label("figure.bar", length=length), (end, y + 3.8), size=_NOTE_MM, anchor="middle"),
    ]
    return [*rects, *words]


def alt_text(press: Press, stages: tuple[Stage, ...], tells: Tells) -> str:
    """The drawing in a few sentences: what it shows, unit by unit."""
    sentences = [label("figure.alt", press=press.name or press.id, tells=label(f"figure.tells-{tells.value}"))]
    for stage in stages:
        ids = ", ".join(body.id for body in stage.rollers)
        sentences.append(label("figure.alt-unit", unit=unit_name(stage.unit), count=len(stage.rollers), ids=ids))
    return " ".join(sentences)
