"""What stands round the rollers: fountain with blade, water pan, sheet. Schematic: only their places are true."""

from __future__ import annotations

import math

from filmsplit.figures.boxes import Box, Disc, Spot, on_circle
from filmsplit.figures.drawing import FAINT, INK, PAPER, element, line, num
from filmsplit.figures.signs import arrow_head
from filmsplit.figures.stage import BLADE_DEG, Body, Stage, fountain_side
from filmsplit.press.paths import sources_of
from filmsplit.press.words import System

_POOL = "#4d4d4d"


def fountain_body(stage: Stage) -> Body | None:
    """The ink fountain roller, where there is one on the drawing."""
    sources = sources_of(stage.unit, System.INK)
    return stage.bodies.get(sources[0]) if sources else None


def draw_fountain(stage: Stage, body: Body) -> tuple[list[str], Box]:
    """Blade, ink behind it and a key, on the side where the surface runs down into the ink."""
    side = fountain_side(stage, body)

    def angle(deg: float) -> float:
        return deg if side > 0 else 180.0 - deg

    tip = body.at(angle(BLADE_DEG))
    heel = (tip[0] - side * body.r * 1.1, tip[1] - body.r * 0.62)
    level = body.at(angle(165.0))
    back = _along(tip, heel, (tip[1] - level[1]) / max(tip[1] - heel[1], 1e-6))
    r = num(body.r)
    pool = element(
        "path",
        d=f"M{_xy(level)}A{r} {r} 0 0 {0 if side > 0 else 1} {_xy(tip)}L{_xy(back)}z",
        fill=_POOL,
        stroke="none",
    )
    blade = line([tip, heel], stroke=INK, stroke_width=0.7)
    key = _key(_along(tip, heel, 0.3), side)
    xs, ys = [tip[0], heel[0], back[0]], [tip[1] + 3.5, heel[1], level[1]]
    return [pool, blade, *key], Box(min(xs), min(ys), max(xs), max(ys))


def _along(a: Spot, b: Spot, part: float) -> Spot:
    part = min(part, 1.0)
    return a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part


def _key(at: Spot, side: int) -> list[str]:
    end = (at[0] - side * 1.5, at[1] + 3.0)
    head = [(end[0] - side * 1.1, end[1] - 0.55), (end[0] + side * 1.1, end[1] + 0.55)]
    return [line([at, end], stroke=INK, stroke_width=0.35), line(head, stroke=INK, stroke_width=0.7)]


def fountain_box(stage: Stage) -> list[Box]:
    """The paper the fountain takes, if there is one."""
    body = fountain_body(stage)
    return [] if body is None else [draw_fountain(stage, body)[1]]


def pan_box(stage: Stage, body: Body) -> Box:
    """The paper a pan takes."""
    return draw_pan(stage, body)[1]


def pan_bodies(stage: Stage) -> list[Body]:
    """The rollers that stand in water."""
    return [stage.bodies[id] for id in sources_of(stage.unit, System.DAMPENING) if id in stage.bodies]


def draw_pan(stage: Stage, body: Body) -> tuple[list[str], Box]:
    """A trough below the pan roller with the water's level; drawn narrower where a neighbour is in the way."""
    others = [Disc(other.x, other.y, other.r) for other in stage.bodies.values() if other is not body]
    low, level = body.y + body.r * 1.14 + 0.6, body.y + body.r * 0.55
    left, right = (_wall(body, others, side=side, span=(level - 1.6, low)) for side in (-1, 1))
    trough = line([(left, level - 1.6), (left, low), (right, low), (right, level - 1.6)], stroke=INK, stroke_width=0.5)
    half = math.sqrt(max(body.r**2 - (level - body.y) ** 2, 0.0))
    water = [
        line([(a + da, level + dy), (b - da, level + dy)], stroke=FAINT, stroke_width=0.2, stroke_dasharray="1.2 0.6")
        for a, b in ((left, body.x - half), (body.x + half, right))
        for dy, da in ((0.0, 0.3), (1.0, 0.6))
        if b - a > 1.5
    ]
    return [trough, *water], Box(left - 0.3, level - 1.6, right + 0.3, low + 0.3)


def _wall(body: Body, others: list[Disc], *, side: int, span: tuple[float, float]) -> float:
    top, low = span
    for reach in (1.3, 1.2, 1.12, 1.05):
        x = body.x + side * body.r * reach
        if not any(disc.cut_by((x, top), (x, low)) for disc in others):
            return x
    return body.x + side * body.r


def sheet_ends(stage: Stage) -> tuple[Spot, Spot]:
    """Where the drawn part of the sheet begins and where it ends."""
    blanket = stage.bodies["blanket"]
    across = blanket.towards(stage.bodies["impression"])
    nip = blanket.at(across)
    way = across + 90 * blanket.sense
    return on_circle(nip, 0.42 * blanket.r, way + 180), on_circle(nip, 0.42 * blanket.r, way)


def draw_sheet(stage: Stage) -> tuple[list[str], Box]:
    """The sheet as a line through the nip of blanket and impression, its way told by a head."""
    tail, tip = sheet_ends(stage)
    blanket = stage.bodies["blanket"]
    way = blanket.towards(stage.bodies["impression"]) + 90 * blanket.sense
    parts = [line([tail, tip], stroke=PAPER, stroke_width=1.6), line([tail, tip], stroke=INK, stroke_width=0.6)]
    if blanket.sense:
        parts.append(arrow_head(on_circle(tip, 1.4, way), way, size=2.4))
    xs, ys = sorted((tail[0], tip[0])), sorted((tail[1], tip[1]))
    return parts, Box(xs[0] - 0.5, ys[0] - 0.5, xs[1] + 0.5, ys[1] + 0.5)


def _xy(spot: Spot) -> str:
    return f"{num(spot[0])} {num(spot[1])}"
