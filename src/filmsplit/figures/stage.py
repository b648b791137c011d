"""One unit put on paper: every member as a circle at scale, how it turns, where it meets the others."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.figures.boxes import Spot, on_circle
from filmsplit.messages import label
from filmsplit.press import Cylinder, Impression, Member, Press, Roller, Unit
from filmsplit.press.bodies import Joint, joints_of
from filmsplit.press.turning import senses_of
from filmsplit.press.words import TurnSense

BLADE_DEG = 215.0
IMPRESSION_PART_DEG = 42.0
"""How far the impression cylinder is drawn on either side of its nip; the rest is cut off."""


@dataclass(frozen=True, slots=True)
class Mapping:
    """From the machine (mm, y up) to the paper (mm, y down)."""

    left_mm: float
    base_mm: float
    scale: float

    def spot(self, x_mm: float, y_mm: float) -> Spot:
        return self.left_mm + x_mm / self.scale, self.base_mm - y_mm / self.scale


@dataclass(frozen=True, slots=True)
class Body:
    """A member on paper. ``sense`` is +1 for anticlockwise, -1 for clockwise, 0 where nothing tells it."""

    id: str
    member: Member
    x: float
    y: float
    r: float
    sense: int

    def at(self, angle_deg: float, *, inset: float = 0.0) -> Spot:
        return on_circle((self.x, self.y), self.r - inset, angle_deg)

    def towards(self, other: Body) -> float:
        """The angle at which ``other`` lies, degrees anticlockwise from the right."""
        return math.degrees(math.atan2(self.y - other.y, other.x - self.x)) % 360

    @property
    def is_roller(self) -> bool:
        return isinstance(self.member, Roller)


@dataclass(frozen=True, slots=True)
class Nip:
    """Where two bodies meet; ``across_deg`` looks from the first to the second."""

    joint: Joint
    at: Spot
    across_deg: float


@dataclass(frozen=True, slots=True)
class Stage:
    """A unit on paper."""

    press: Press
    unit: Unit
    bodies: dict[str, Body]
    nips: tuple[Nip, ...]
    undrawn: tuple[str, ...]
    scale: float

    @property
    def rollers(self) -> tuple[Body, ...]:
        return tuple(body for body in self.bodies.values() if body.is_roller)

    def is_assumed(self, body: Body, *field: str) -> bool:
        """Whether a value of a roller stands in for an unknown one."""
        return self.press.is_assumed("units", self.unit.id, "rollers", body.id, *field)


_SENSE = {TurnSense.ANTICLOCKWISE: 1, TurnSense.CLOCKWISE: -1, None: 0}


def unit_name(unit: Unit) -> str:
    """A unit in the shop's words, or by its id."""
    return unit.name or label("figure.unit", unit=unit.id)


def set_stage(press: Press, unit: Unit, mapping: Mapping) -> Stage:
    """Put ``unit`` on paper."""
    senses = senses_of(unit)
    bodies = {}
    for id in unit.member_ids:
        member = unit.member(id)
        if member.centre is not None:
            x, y = mapping.spot(member.centre.x_mm, member.centre.y_mm)
            bodies[id] = Body(id, member, x, y, member.diameter_mm / 2 / mapping.scale, _SENSE[senses[id]])
    joints = [joint for joint in joints_of(unit) if joint.a in bodies and joint.b in bodies]
    nips = tuple(_nip(joint, bodies) for joint in joints)
    undrawn = tuple(id for id in unit.member_ids if id not in bodies)
    return Stage(press, unit, bodies, nips, undrawn, mapping.scale)


def _nip(joint: Joint, bodies: dict[str, Body]) -> Nip:
    """On the line of centres, midway between the two surfaces (which may be apart or overlap a little)."""
    a, b = bodies[joint.a], bodies[joint.b]
    angle = a.towards(b)
    (ax, ay), (bx, by) = a.at(angle), b.at(angle + 180)
    return Nip(joint, ((ax + bx) / 2, (ay + by) / 2), angle)


def reach_of(unit: Unit) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of what is drawn of a unit, in machine mm."""
    spots: list[tuple[float, float, float]] = []
    for id in unit.member_ids:
        member = unit.member(id)
        if member.centre is None:
            continue
        if isinstance(member, Impression):
            spots += _impression_part(unit)
        else:
            spots.append((member.centre.x_mm, member.centre.y_mm, member.diameter_mm / 2))
    return (
        min(x - r for x, _, r in spots),
        min(y - r for _, y, r in spots),
        max(x + r for x, _, r in spots),
        max(y + r for _, y, r in spots),
    )


def _impression_part(unit: Unit) -> list[tuple[float, float, float]]:
    """Points along the drawn part of the impression cylinder, as circles without size."""
    part, blanket = unit.cylinders.impression, unit.cylinders.blanket
    dx, dy = blanket.centre.x_mm - part.centre.x_mm, blanket.centre.y_mm - part.centre.y_mm
    middle, r = math.atan2(dy, dx), part.diameter_mm / 2
    turns = [middle + math.radians(IMPRESSION_PART_DEG) * k / 4 for k in range(-4, 5)]
    return [(part.centre.x_mm + r * math.cos(t), part.centre.y_mm + r * math.sin(t), 0.0) for t in turns]


def gap_angles(stage: Stage) -> dict[str, float]:
    """Where the gaps of plate and blanket are drawn: as they pass each other, as far from every nip as can be."""
    plate, blanket = stage.bodies["plate"], stage.bodies["blanket"]
    met = {id: _nip_angles(stage, id) for id in ("plate", "blanket")}
    nip_p, nip_b = plate.towards(blanket), blanket.towards(plate)

    def angles(plate_deg: float) -> dict[str, float]:
        travel = (nip_p - plate_deg) * plate.sense
        return {"plate": plate_deg, "blanket": nip_b - blanket.sense * travel}

    def room(plate_deg: float) -> float:
        return min(_apart(angle, nip) for id, angle in angles(plate_deg).items() for nip in met[id])

    return angles(max((float(k * 5) for k in range(72)), key=room))


def fountain_side(stage: Stage, body: Body) -> int:
    """On which side the ink stands, +1 left: where the surface runs down into it, unless a neighbour is there."""
    wanted = 1 if body.sense >= 0 else -1
    return next((side for side in (wanted, -wanted) if _has_room(stage, body, side)), wanted)


def _has_room(stage: Stage, body: Body, side: int) -> bool:
    x, y, reach = body.x - side * 1.75 * body.r, body.y, 0.75 * body.r
    others = (other for other in stage.bodies.values() if other is not body)
    return all(math.dist((x, y), (other.x, other.y)) > reach + other.r for other in others)


def blade_deg(stage: Stage, body: Body) -> float:
    """Where the blade meets the fountain roller: low on the side of the ink."""
    return BLADE_DEG if fountain_side(stage, body) > 0 else 180.0 - BLADE_DEG


def _nip_angles(stage: Stage, id: str) -> list[float]:
    return [nip.across_deg if nip.joint.a == id else nip.across_deg + 180 for nip in stage.nips if nip.joint.joins(id)]


def _apart(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def gap_span_deg(cylinder: Cylinder) -> float:
    """How much of the turn the gap takes."""
    return min(180.0, 360 * cylinder.gap_mm / cylinder.circumference_mm)
