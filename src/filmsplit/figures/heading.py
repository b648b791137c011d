"""What every chart begins with: title, what is seen, whether the press is invented, a rule."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.figures.drawing import INK, line, text
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.stage import unit_name
from filmsplit.messages import label
from filmsplit.press import Press, Unit

HEAD_MM = 26.0
"""Room the heading takes from the top of the page."""
_TITLE_MM, _VIEW_MM, _TITLE_BASE_MM, _VIEW_BASE_MM, _RULE_MM = 5.0, 2.4, 13.0, 18.0, 21.0


@dataclass(frozen=True, slots=True)
class Subject:
    """Whose figures a chart shows: the name in its title, and whether the press is invented."""

    name: str
    invented: bool = False


def subject_of(press: Press, unit: Unit) -> Subject:
    """A unit of a press, named in the shop's words."""
    name = press.name or press.id
    if len(press.units) > 1:
        name = label("figure.title-unit", press=name, unit=unit_name(unit))
    return Subject(name, press.invented)


def draw_heading(title: str, view: str, *, width_mm: float, invented: bool) -> list[str]:
    """Title, then what is seen; a title too long for the page is set smaller."""
    room = width_mm - 2 * MARGIN_MM
    size = min(_TITLE_MM, _TITLE_MM * room / max(text_width_mm(title, _TITLE_MM, bold=True), 1e-6))
    parts = [
        text(title, (MARGIN_MM, _TITLE_BASE_MM), size=size, bold=True),
        text(view, (MARGIN_MM, _VIEW_BASE_MM), size=_VIEW_MM),
        line([(MARGIN_MM, _RULE_MM), (width_mm - MARGIN_MM, _RULE_MM)], stroke=INK, stroke_width=0.35),
    ]
    if invented:
        words = label("figure.invented")
        free = room - text_width_mm(view, _VIEW_MM) - text_width_mm(words, _VIEW_MM)
        base = _VIEW_BASE_MM if free > 4.0 else _RULE_MM + 3.2
        parts.append(text(words, (width_mm - MARGIN_MM, base), size=_VIEW_MM, anchor="end"))
    return parts
