"""What is described of a unit as outlines over a photo of it, and what was tapped. One user unit is a pixel shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.figures.drawing import ACCENT, INK, PAPER, circle, element, group, line, text
from filmsplit.figures.lettering import FONT_STACK
from filmsplit.press import CYLINDER_IDS, Unit
from filmsplit.press.photo_scale import Dot, PhotoScale

LETTERS = 17.0
_HALO = 4.0
_CROSS = 14.0
_RULE_APART = 90.0
"""At least, between figures of a rule, so that no two run into each other."""
_STEPS = (50, 100, 200, 250, 500, 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A photo as it is shown: pixels wide and high, and how many dots of the photo lie on one of them."""

    wide: int
    high: int
    dots: float

    def at(self, dot: Dot) -> Dot:
        return dot[0] / self.dots, dot[1] / self.dots


def shown_at(wide: int, *, photo_wide: int, photo_high: int) -> Shown:
    """A photo shown ``wide`` pixels wide."""
    return Shown(wide=wide, high=round(wide * photo_high / photo_wide), dots=photo_wide / wide)


def draw_over(
    shown: Shown, unit: Unit, *, scale: PhotoScale | None, taps: Sequence[tuple[str, Dot]], ruled: bool
) -> str:
    """An SVG as large as the photo shown: outlines of what has a place, taps with their letters, rules if asked for."""
    outlines, names = ([], []) if scale is None else _described(shown, unit, scale)
    crosses = [_cross(*shown.at(dot)) for _, dot in taps]
    names += [_name(word, (shown.at(dot)[0] + 10.0, shown.at(dot)[1] - 10.0), anchor="start") for word, dot in taps]
    rules, figures = _rules(shown) if ruled else ([], [])
    parts = [
        group(outlines + crosses + rules, stroke=PAPER, stroke_width=5.0, opacity=0.75),
        group(outlines + rules, stroke=INK, stroke_width=1.8),
        group(crosses, stroke=ACCENT, stroke_width=2.2),
        group(names + figures, fill=INK, stroke=PAPER, stroke_width=_HALO, paint_order="stroke"),
    ]
    return element(
        "svg",
        "".join(parts) or element("g"),
        xmlns="http://www.w3.org/2000/svg",
        width=shown.wide,
        height=shown.high,
        viewBox=f"0 0 {shown.wide} {shown.high}",
        aria_hidden="true",
        font_family=FONT_STACK,
        stroke_linejoin="round",
    )


def _described(shown: Shown, unit: Unit, scale: PhotoScale) -> tuple[list[str], list[str]]:
    outlines, names = list[str](), list[str]()
    for id in (*CYLINDER_IDS, *(each.id for each in unit.rollers)):
        member = unit.member(id)
        if member.centre is None:
            continue
        x, y = shown.at(scale.dot(member.centre))
        outlines.append(circle(x, y, member.diameter_mm / 2 / scale.mm_per_dot / shown.dots))
        names.append(_name(id, (x, y + LETTERS / 3), anchor="middle"))
    return outlines, names


def _name(word: str, at: Dot, *, anchor: str) -> str:
    return text(word, at, size=LETTERS, bold=True, anchor=anchor)


def _cross(x: float, y: float) -> str:
    return line([(x - _CROSS, y), (x + _CROSS, y)]) + line([(x, y - _CROSS), (x, y + _CROSS)])


def _rules(shown: Shown) -> tuple[list[str], list[str]]:
    """Dots of the photo along its upper and its left edge."""
    step = next((each for each in _STEPS if each / shown.dots >= _RULE_APART), _STEPS[-1])
    ticks, figures = list[str](), list[str]()
    for dots in range(step, int(shown.wide * shown.dots), step):
        x = dots / shown.dots
        ticks.append(line([(x, 0.0), (x, 12.0)]))
        figures.append(_name(f"{dots}", (x, 28.0), anchor="middle"))
    for dots in range(step, int(shown.high * shown.dots), step):
        y = dots / shown.dots
        ticks.append(line([(0.0, y), (12.0, y)]))
        figures.append(_name(f"{dots}", (18.0, y + LETTERS / 3), anchor="start"))
    return ticks, figures
