"""Rollers and cylinders themselves: outline, fill, band at the rim, gap, turn arrow, the other place of a ductor."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.figures.boxes import Box, Disc, Spot, on_circle
from filmsplit.figures.classes import BANDS, FILLS, OUTLINES, Hatch
from filmsplit.figures.drawing import FAINT, INK, PAPER, circle, element, line, num
from filmsplit.figures.lines import Tells
from filmsplit.figures.signs import arrow_head, pattern_id
from filmsplit.figures.stage import IMPRESSION_PART_DEG, Body, Stage, gap_span_deg
from filmsplit.press import Cylinder, Roller
from filmsplit.press.makeup import make_up_of
from filmsplit.press.words import ContactKind, MotionKind, System

BAND_MM = 1.5
"""Width of the band that tells the make-up: the same on every roller, not its thickness."""
_DOUBLE_MM = 0.8
_ARROW_REACH_DEG = 38.0


def band_mm(tells: Tells) -> float:
    """Room at the rim taken by the band and by a double outline."""
    return BAND_MM if tells.shows_bands else _DOUBLE_MM + 0.2


def arrow_inset_mm(body: Body, tells: Tells) -> float:
    """How far inside the rim the turn arrow runs."""
    return band_mm(tells) + min(1.1, 0.12 * body.r)


def used_hatches(stage: Stage, tells: Tells) -> set[Hatch]:
    """The hatches this drawing needs definitions for."""
    rollers = [body.member for body in stage.rollers if isinstance(body.member, Roller)]
    if tells is Tells.PURPOSE:
        return {FILLS[roller.role].hatch for roller in rollers}
    if tells.shows_bands:
        return {BANDS[make_up_of(roller)].hatch for roller in rollers}
    return set()


def draw_roller(body: Body, tells: Tells) -> list[str]:
    """One roller without its words."""
    roller = body.member
    if not isinstance(roller, Roller):
        return []
    parts = [circle(body.x, body.y, body.r, fill=PAPER)]
    if tells is Tells.PURPOSE and FILLS[roller.role].hatch is not Hatch.NONE:
        parts.append(circle(body.x, body.y, body.r, fill=f"url(#{pattern_id(FILLS[roller.role].hatch)})"))
    if tells.shows_bands:
        parts += draw_band(Disc(body.x, body.y, body.r), BANDS[make_up_of(roller)].hatch)
    return [
        *parts,
        *draw_outline(Disc(body.x, body.y, body.r), roller.system),
        *turn_arrow(body, arrow_inset_mm(body, tells)),
    ]


def draw_outline(disc: Disc, system: System) -> list[str]:
    """The rim, whose line tells the system."""
    x, y, r = disc
    stroke = OUTLINES[system].stroke
    if stroke is None:
        return []
    look = {"stroke": INK, "stroke_width": stroke.width_mm, "stroke_dasharray": stroke.dasharray}
    cap = {"stroke_linecap": "butt"} if stroke.dashes_mm else {}
    rims = [circle(x, y, r - stroke.width_mm / 2, **look, **cap)]
    if stroke.double:
        rims.append(circle(x, y, r - _DOUBLE_MM, **look))
    return rims


def draw_band(disc: Disc, hatch: Hatch) -> list[str]:
    """The band at the rim that tells the make-up."""
    x, y, r = disc
    if hatch is Hatch.NONE:
        return []
    inner, middle = r - BAND_MM, r - BAND_MM / 2
    edge = circle(x, y, inner, stroke=INK, stroke_width=0.16)
    if hatch is Hatch.TICKS:
        ring = circle(x, y, middle, stroke=FAINT, stroke_width=BAND_MM, stroke_dasharray="0.2 1", stroke_linecap="butt")
    elif hatch is Hatch.BEADS:
        ring = circle(x, y, middle, stroke=FAINT, stroke_width=0.75, stroke_dasharray="0 1.5")
    else:
        ways = _round(x, y, r=r) + _round(x, y, r=inner)
        ring = element("path", d=ways, fill=f"url(#{pattern_id(hatch)})", fill_rule="evenodd")
    return [ring, edge]


def _round(x: float, y: float, *, r: float) -> str:
    """A full circle as a path. The width is twice the rounded radius: a hundredth less would bulge the arcs."""
    half = num(r)
    across = num(2 * float(half))
    return f"M{num(x - r)} {num(y)}a{half} {half} 0 1 0 {across} 0a{half} {half} 0 1 0 -{across} 0z"


def turn_arrow_spots(body: Body, tells: Tells) -> list[Spot]:
    """Points along the turn arrow of a roller, to keep figures off it."""
    return turn_arrow_spots_at(body, arrow_inset_mm(body, tells)) if body.is_roller else []


def turn_arrow_spots_at(body: Body, inset: float, *, steps: int = 3) -> list[Spot]:
    """Points along a turn arrow that runs ``inset`` inside the rim, ``steps`` to either side of its middle."""
    if not body.sense:
        return []
    return [body.at(90 + _ARROW_REACH_DEG * k / steps, inset=inset) for k in range(-steps, steps + 1)]


def turn_arrow(body: Body, inset: float) -> list[str]:
    """Which way it turns: an arrow along the inside of the rim, at the top."""
    if not body.sense:
        return []
    tail, tip = (90 - _ARROW_REACH_DEG * body.sense, 90 + _ARROW_REACH_DEG * body.sense)
    r, side = num(body.r - inset), 0 if body.sense > 0 else 1
    (x0, y0), (x1, y1) = body.at(tail, inset=inset), body.at(tip, inset=inset)
    shaft = element(
        "path",
        d=f"M{num(x0)} {num(y0)}A{r} {r} 0 0 {side} {num(x1)} {num(y1)}",
        fill="none",
        stroke=INK,
        stroke_width=0.3,
    )
    lead = math.degrees(0.8 / max(body.r - inset, 1.0)) * body.sense
    return [shaft, arrow_head(body.at(tip + lead, inset=inset), tip + lead / 2 + 90 * body.sense, size=1.7)]


def draw_ghost(stage: Stage, body: Body) -> list[str]:
    """The other place of a ductor, dashed: where it touches the partner it is drawn away from."""
    places = ductor_places(stage, body)
    if places is None:
        return []
    x, y = places.other
    return [circle(x, y, body.r, stroke=FAINT, stroke_width=0.3, stroke_dasharray="1 0.8")]


@dataclass(frozen=True, slots=True)
class DuctorPlaces:
    """Where a ductor stands besides where it is drawn, and the partner it touches as drawn (``""`` if it has one)."""

    other: Spot
    touches: str


def ductor_places(stage: Stage, body: Body) -> DuctorPlaces | None:
    """The two places of a ductor; ``None`` for other rollers, and where no partner is drawn."""
    roller = body.member
    if not isinstance(roller, Roller) or roller.motion.kind is not MotionKind.DUCTS:
        return None
    gaps = []
    for nip in stage.nips:
        if nip.joint.kind is ContactKind.TOUCHES and nip.joint.joins(body.id):
            partner = stage.bodies[nip.joint.other(body.id)]
            apart = math.dist((body.x, body.y), (partner.x, partner.y)) - body.r - partner.r
            gaps.append((apart, partner))
    if not gaps:
        return None
    apart, partner = max(gaps, key=lambda pair: pair[0])
    move = apart if apart > 0.15 else -roller.motion.swing_mm / stage.scale
    near = min(gaps, key=lambda pair: pair[0])[1].id if len(gaps) > 1 else ""
    return DuctorPlaces(on_circle((body.x, body.y), move, body.towards(partner)), near)


def draw_cylinder(body: Body, stage: Stage, gap_deg: float | None) -> list[str]:
    """Plate and blanket whole with their gap, the impression cylinder as an arc cut off."""
    if isinstance(body.member, Cylinder) and gap_deg is not None:
        return _dressed(body, body.member, gap_deg)
    middle = body.towards(stage.bodies["blanket"])
    ends = [body.at(middle - IMPRESSION_PART_DEG), body.at(middle + IMPRESSION_PART_DEG)]
    parts = [_arc(body.r, ends, large=False, stroke=INK, stroke_width=0.4)]
    return parts + [_cut(body, middle + side * IMPRESSION_PART_DEG) for side in (-1, 1)]


def impression_boxes(stage: Stage) -> list[Box]:
    """The paper the drawn arc of the impression cylinder takes, in small boxes along it."""
    body = stage.bodies["impression"]
    middle = body.towards(stage.bodies["blanket"])
    spots = [body.at(middle + IMPRESSION_PART_DEG * k / 8) for k in range(-8, 9)]
    return [Box(x - 1.6, y - 1.6, x + 1.6, y + 1.6) for x, y in spots]


def gap_depth_mm(body: Body) -> float:
    """How deep the gap is drawn, on paper."""
    return min(0.16 * body.r, 5.0)


def gap_spots(body: Body, gap_deg: float) -> list[Spot]:
    """Points along the drawn edge of a cylinder's gap: down one wall, along the floor, up the other."""
    if not isinstance(body.member, Cylinder):
        return []
    half, depth = gap_span_deg(body.member) / 2, gap_depth_mm(body)
    steps = max(8, round(math.radians(2 * half) * body.r))
    floor = [body.at(gap_deg - half + 2 * half * k / steps, inset=depth) for k in range(steps + 1)]
    walls = [body.at(gap_deg + side * half, inset=depth * k / 5) for side in (-1, 1) for k in range(5)]
    return [*walls[:5], *floor, *reversed(walls[5:])]


def _dressed(body: Body, cylinder: Cylinder, gap_deg: float) -> list[str]:
    """The body with a notch for the gap, and plate or blanket round it as a heavier line (its thickness in words)."""
    half = gap_span_deg(cylinder) / 2
    depth = gap_depth_mm(body)
    lean = math.degrees(0.4 * depth / body.r)
    start, end = gap_deg + half, gap_deg + 360 - half
    rim = [body.at(start), body.at(end)]
    floor = [body.at(gap_deg - half + lean, inset=depth), body.at(gap_deg + half - lean, inset=depth)]
    r, deep = num(body.r), num(body.r - depth)
    notch = f"M{_xy(rim[0])}A{r} {r} 0 1 0 {_xy(rim[1])}L{_xy(floor[0])}A{deep} {deep} 0 0 0 {_xy(floor[1])}z"
    outline = element("path", d=notch, fill=PAPER, stroke=INK, stroke_width=0.3)
    thick = 0.6 if body.id == "plate" else 1.3
    wear = [on_circle((body.x, body.y), body.r - thick / 2, angle) for angle in (start, end)]
    skin = _arc(body.r - thick / 2, wear, large=True, stroke=INK, stroke_width=thick, stroke_linecap="butt")
    if body.id == "plate":
        return [outline, skin, *turn_arrow(body, 3.2)]
    light = _arc(body.r - thick / 2, wear, large=True, stroke=PAPER, stroke_width=thick - 0.5, stroke_linecap="butt")
    return [outline, skin, light, *turn_arrow(body, 3.9)]


def _xy(spot: Spot) -> str:
    return f"{num(spot[0])} {num(spot[1])}"


def _arc(r: float, ends: list[Spot], *, large: bool, **look: object) -> str:
    way = f"M{_xy(ends[0])}A{num(r)} {num(r)} 0 {int(large)} 0 {_xy(ends[1])}"
    return element("path", d=way, fill="none", **look)


def _cut(body: Body, angle: float) -> str:
    """The sign that a line goes on: a small zigzag across its end."""
    steps = [(1.8, -0.5), (0.6, 0.5), (-0.6, -0.5), (-1.8, 0.5)]
    per_mm = math.degrees(1 / body.r)
    return line([body.at(angle + along * per_mm, inset=out) for out, along in steps], stroke=INK, stroke_width=0.25)
