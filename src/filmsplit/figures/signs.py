"""The small pictures: what turns a roller, how it moves, how two surfaces meet; and the hatch patterns."""

from __future__ import annotations

import math

from filmsplit.figures.boxes import Spot
from filmsplit.figures.classes import Hatch, Sign
from filmsplit.figures.drawing import FAINT, INK, PAPER, circle, element, group, line, num, text

SIGN_MM = 3.4
"""Height of a sign beside a name."""
SIGN_WIDTHS_MM = {Sign.TO_AND_FRO: 5.6, Sign.SWING: 5.0, Sign.LINKS: 4.6}
_THIN = 0.25


def sign_width_mm(sign: Sign) -> float:
    """Room a sign takes in a row of signs."""
    return 0.0 if sign is Sign.NONE else SIGN_WIDTHS_MM.get(sign, SIGN_MM)


def sign(kind: Sign, x: float, y: float) -> str:
    """The sign drawn about its centre."""
    parts = _DRAWN[kind](x, y) if kind in _DRAWN else []
    return group(parts, stroke=INK, stroke_width=_THIN, fill="none")


def _teeth(x: float, y: float) -> list[str]:
    tooth = 2 * math.pi * 1.3 / 20
    return [
        circle(x, y, 1.3, stroke_width=0.6, stroke_dasharray=f"{num(tooth)} {num(tooth)}", stroke_linecap="butt"),
        circle(x, y, 0.95),
    ]


def _links(x: float, y: float) -> list[str]:
    link = {"width": 2.3, "height": 1.3, "rx": 0.65, "fill": "none"}
    return [element("rect", x=float(x + dx), y=float(y - 0.65), stroke_width=0.35, **link) for dx in (-2.1, -0.2)]


def _motor(x: float, y: float) -> list[str]:
    letter = group([text("M", (x, y + 0.8), size=2.2, bold=True, anchor="middle")], stroke="none", fill=INK)
    return [circle(x, y, 1.5), letter]


def _weight(x: float, y: float) -> list[str]:
    block = element("path", d=f"M{num(x - 1.0)} {num(y - 0.5)}h2l.6 2h-3.2z", fill=INK)
    return [circle(x, y - 1.0, 0.5, stroke_width=0.35), block]


def _spring(x: float, y: float) -> list[str]:
    zigzag = [(x + (0.9 if i % 2 else -0.9), y - 1.1 + i * 0.44) for i in range(6)]
    return [line([(x, y - 1.6), *zigzag, (x, y + 1.6)], stroke_width=0.32)]


def _to_and_fro(x: float, y: float) -> list[str]:
    """Out of the paper and into it, as field lines are drawn: the roller moves along its axis."""
    far, cut = x + 1.6, 0.72
    return [
        circle(x - 1.6, y, 1.05),
        circle(x - 1.6, y, 0.35, fill=INK, stroke="none"),
        circle(far, y, 1.05),
        line([(far - cut, y - cut), (far + cut, y + cut)]),
        line([(far - cut, y + cut), (far + cut, y - cut)]),
        line([(x - 0.55, y), (x + 0.55, y)]),
    ]


def _swing(x: float, y: float) -> list[str]:
    return [
        circle(x - 1.3, y + 0.5, 0.95),
        circle(x + 1.3, y + 0.5, 0.95, stroke_dasharray="0.5 0.5"),
        element("path", d=f"M{num(x - 1.3)} {num(y - 0.9)}q1.3 -1.2 2.6 0"),
        arrow_head((x + 1.45, y - 0.75), -50.0, size=0.9),
        arrow_head((x - 1.45, y - 0.75), -130.0, size=0.9),
    ]


_DRAWN = {
    Sign.TEETH: _teeth,
    Sign.LINKS: _links,
    Sign.MOTOR: _motor,
    Sign.WEIGHT: _weight,
    Sign.SPRING: _spring,
    Sign.TO_AND_FRO: _to_and_fro,
    Sign.SWING: _swing,
}


def arrow_head(tip: Spot, angle_deg: float, *, size: float = 1.5, colour: str = INK) -> str:
    """A filled head with its tip at ``tip``, pointing at ``angle_deg`` (anticlockwise from the right)."""
    points = [tip]
    for turn, reach in ((155, 1.0), (180, 0.72), (205, 1.0)):
        way = math.radians(angle_deg + turn)
        points.append((tip[0] + size * reach * math.cos(way), tip[1] - size * reach * math.sin(way)))
    shape = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + "z"
    return element("path", d=shape, fill=colour, stroke="none")


def contact_sign(kind: Sign, at: Spot, across_deg: float) -> str:
    """How two surfaces meet, lying in the nip as the stripe lies; ``across_deg`` runs from one axis to the other."""
    turn = f"translate({num(at[0])} {num(at[1])}) rotate({num(90 - across_deg)})"
    return group(_CONTACT[kind], transform=turn, stroke_linecap="butt")


def _bar(middle: Spot, w: float, h: float, *, filled: bool) -> str:
    x, y = middle
    return element(
        "rect",
        x=float(x - w / 2),
        y=float(y - h / 2),
        width=float(w),
        height=float(h),
        fill=INK if filled else PAPER,
        stroke=PAPER if filled else INK,
        stroke_width=0.35,
        paint_order="stroke",
    )


_CONTACT: dict[Sign, list[str]] = {
    Sign.FLAT: [_bar((0, 0), 3.2, 1.0, filled=True)],
    Sign.SHEARED: [_bar((-0.8, -0.65), 3.0, 0.85, filled=True), _bar((0.8, 0.65), 3.0, 0.85, filled=True)],
    Sign.OPEN: [_bar((0, 0), 3.2, 1.3, filled=False)],
    Sign.APART: [
        element(
            "path",
            d=f"M-0.95 {side * 1.0}h1.9l-0.95 {side * 1.5}z",
            fill=PAPER,
            stroke=INK,
            stroke_width=0.25,
        )
        for side in (-1, 1)
    ],
}


def hatch_patterns(used: set[Hatch]) -> str:
    """Definitions of the hatches a drawing uses, in a fixed order."""
    return element("defs", "".join(_pattern(hatch) for hatch in Hatch if hatch in used and hatch in _HATCHES))


_HATCHES: dict[Hatch, tuple[float, float, str]] = {
    Hatch.RISING: (1.0, 1.0, "M-.25 .25l.5-.5M0 1l1-1M.75 1.25l.5-.5"),
    Hatch.FALLING: (2.0, 2.0, "M-.5 1.5l1 1M0 0l2 2M1.5-.5l1 1"),
    Hatch.CROSSED: (2.0, 2.0, "M0 0l2 2M0 2l2-2"),
    Hatch.LEVEL: (2.0, 1.5, "M0 .75h2"),
    Hatch.BROKEN: (3.0, 2.4, "M.3 .6h1.6M1.8 1.8h1.2M0 1.8h.4"),
    Hatch.UPRIGHT: (1.5, 2.0, "M.75 0v2"),
    Hatch.SQUARED: (2.0, 2.0, "M1 0v2M0 1h2"),
    Hatch.DOTTED: (1.6, 1.6, "M.4 .4h.01M1.2 1.2h.01"),
    Hatch.WAVES: (3.0, 1.6, "M0 .8q.75-.9 1.5 0t1.5 0"),
    Hatch.CHEVRONS: (2.4, 1.6, "M0 1.4l1.2-1.2l1.2 1.2"),
}


def _pattern(hatch: Hatch) -> str:
    width, height, way = _HATCHES[hatch]
    stroke = 0.4 if hatch is Hatch.DOTTED else 0.16
    mark = element("path", d=way, stroke=FAINT, stroke_width=stroke, fill="none")
    return element("pattern", mark, id=pattern_id(hatch), width=width, height=height, patternUnits="userSpaceOnUse")


def pattern_id(hatch: Hatch) -> str:
    """The name a hatch has inside the document."""
    return f"hatch-{hatch.value}"
