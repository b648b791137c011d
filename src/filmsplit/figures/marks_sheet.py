"""A spoiled sheet to tap upon: lead edge at the top, a rule, the marks, and where a suspect would put them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.faults.result import MarkMatch
from filmsplit.faults.travel import window_of
from filmsplit.figures.drawing import ACCENT, FAINT, INK, PAPER, Drawing, element, finish, group, line, num, text
from filmsplit.figures.marks import predicted
from filmsplit.messages import label
from filmsplit.press import Press, Unit

WIDTH, HEIGHT = 320.0, 640.0
"""In pixels of the page, one unit each: whatever the screen, a tap is measured on the same picture."""
_TOP, _BOTTOM = 36.0, 620.0
_SHEET = (92.0, 310.0)
_NUMBER = 16.0
_LEAST_APART = 18.0


@dataclass(frozen=True, slots=True)
class Rule:
    """Where millimetres of sheet lie on the picture."""

    length_mm: float

    def y(self, mm: float) -> float:
        return _TOP + mm / self.length_mm * (_BOTTOM - _TOP)

    def mm(self, y: float) -> float:
        """The distance from the lead edge at a height of the picture, kept on the sheet."""
        part = (y - _TOP) / (_BOTTOM - _TOP)
        return max(0.0, min(1.0, part)) * self.length_mm


def rule_of(press: Press, unit: Unit) -> Rule:
    """The rule of the longest sheet that shows on this unit."""
    return Rule(window_of(press, unit).visible_mm)


def draw_tapped(press: Press, unit: Unit, marks_mm: Sequence[float], *, match: MarkMatch | None = None) -> Drawing:
    """The sheet with its marks as bars and, on the right, where the best suspect would put them as wedges."""
    rule = rule_of(press, unit)
    parts = [_paper(), *_scale(rule), *(part for mm in marks_mm for part in _mark(rule, mm))]
    best = None if match is None else match.best
    words = [text(label("web_marks.lead"), (_SHEET[0], 22.0), size=_NUMBER)]
    if match is not None and best is not None:
        ticks = predicted(best, window_of(press, unit), [mark.sheet for mark in match.marks])
        parts += [_wedge(rule.y(tick.mm)) for tick in ticks]
        words = [text(label("web_marks.would", who=", ".join(best.suspect.members)), (_SHEET[0], 22.0), size=_NUMBER)]
    alt = label("web_marks.alt", marks=", ".join(f"{mm:.0f}" for mm in marks_mm) or label("web.unknown"))
    return finish([*parts, *_numbers(rule), *words], size_mm=(WIDTH, HEIGHT), title=label("web_marks.sheet"), alt=alt)


def _paper() -> str:
    left, right = _SHEET
    place = {"x": left, "y": _TOP, "width": right - left, "height": _BOTTOM - _TOP}
    sheet = element("rect", fill=PAPER, stroke=FAINT, stroke_width=1.0, **place)
    return sheet + line([(left, _TOP), (right, _TOP)], stroke=INK, stroke_width=4.0)


def _scale(rule: Rule) -> list[str]:
    parts = []
    for mm in range(0, int(rule.length_mm) + 1, 10):
        long = 16.0 if mm % 50 == 0 else 8.0
        parts.append(line([(_SHEET[0] - long, rule.y(mm)), (_SHEET[0], rule.y(mm))], stroke=INK, stroke_width=1.0))
    return parts


def _numbers(rule: Rule) -> list[str]:
    marks = range(0, int(rule.length_mm) + 1, 50)
    lines = [
        text(label("web_marks.mm", mm=f"{mm}"), (_SHEET[0] - 20.0, rule.y(mm) + 5.5), size=_NUMBER, anchor="end")
        for mm in marks
    ]
    return [group(lines, fill=INK)]


def _mark(rule: Rule, mm: float) -> list[str]:
    y = rule.y(mm)
    bar = line([(_SHEET[0], y), (_SHEET[1] - 90.0, y)], stroke=ACCENT, stroke_width=5.0, stroke_linecap="butt")
    low = y + 20.0 if y < _TOP + _LEAST_APART else y - 6.0
    return [bar, text(label("web_marks.mm", mm=f"{mm:.1f}"), (_SHEET[0] + 8.0, low), size=_NUMBER, bold=True)]


def _wedge(y: float) -> str:
    return element("path", d=f"M{num(_SHEET[1] - 40.0)} {num(y)}l28 -8v16z", fill=INK)
