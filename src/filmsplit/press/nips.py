"""Nips, their order on every surface, and the arcs between them: what a film meets on its way round.

Centres must be true: use this on a press that has been surveyed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press.bodies import Joint, Place, centre_of, joints_of, radius_mm
from filmsplit.press.press import Unit
from filmsplit.press.repeats import repeat_of
from filmsplit.press.roller import Point
from filmsplit.press.turning import senses_of
from filmsplit.press.words import ContactKind, TurnSense


@dataclass(frozen=True, slots=True, kw_only=True)
class Nip:
    """Where two members meet. Angles are seen from each centre, anticlockwise from the right, 0 to 360.

    ``place_a_mm`` and ``place_b_mm`` say how far along each surface, in travel, the nip lies behind that surface's
    first stop (see :class:`Round`). ``gap_mm`` is the free gap of members that touch at times; 0 for all others.
    """

    id: str
    a: str
    b: str
    kind: ContactKind
    at: Point
    gap_mm: float
    angle_a_deg: float
    angle_b_deg: float
    place_a_mm: float
    place_b_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One nip as a surface meets it: where, and after how much travel (``arc_mm``) it meets the next."""

    nip: str
    partner: str
    kind: ContactKind
    angle_deg: float
    place_mm: float
    arc_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """Once round a surface: its nips in the order in which a place on it meets them.

    Begins on the plate at the blanket, on the blanket at the plate, elsewhere at the contact that the file names
    first. ``length_mm`` is the repeat in travel; a geared surface has the length its gearing gives it, and its arcs
    are scaled to that. Where no contact says how the member turns (``sense`` is ``None``) the order is anticlockwise.
    """

    member: str
    sense: TurnSense | None
    length_mm: float
    stops: tuple[Stop, ...]

    def stop(self, nip_id: str) -> Stop:
        """The stop at nip ``nip_id``; ``KeyError`` if this surface does not meet it."""
        for stop in self.stops:
            if stop.nip == nip_id:
                return stop
        raise KeyError(nip_id)


def rounds_of(unit: Unit) -> tuple[Round, ...]:
    """The rounds of all members, cylinders first, then rollers in file order."""
    senses = senses_of(unit)
    joints = joints_of(unit)
    return tuple(_round(unit, name, sense=senses[name], joints=joints) for name in unit.member_ids)


def nips_of(unit: Unit) -> tuple[Nip, ...]:
    """All nips of the unit: between cylinders first, then contacts in file order."""
    rounds = {round_.member: round_ for round_ in rounds_of(unit)}
    return tuple(_nip(unit, joint, rounds) for joint in joints_of(unit))


def _round(unit: Unit, name: str, *, sense: TurnSense | None, joints: tuple[Joint, ...]) -> Round:
    met = [joint for joint in joints if joint.joins(name)]
    length_mm = repeat_of(unit, name).length_mm
    angles = {joint.id: _angle_deg(unit, name, joint.other(name)) for joint in met}
    first_deg = angles[met[0].id] if met else 0.0
    turn = -1.0 if sense is TurnSense.CLOCKWISE else 1.0
    # The first stop is 0 by definition, not 360 less a rounding error.
    ahead = {joint.id: (turn * (angles[joint.id] - first_deg)) % 360.0 if joint is not met[0] else 0.0 for joint in met}
    met.sort(key=lambda joint: ahead[joint.id])
    places = [ahead[joint.id] / 360.0 * length_mm for joint in met]
    ends = [*places[1:], length_mm] if places else []
    stops = tuple(
        Stop(
            nip=joint.id,
            partner=joint.other(name),
            kind=joint.kind,
            angle_deg=angles[joint.id],
            place_mm=place,
            arc_mm=end - place,
        )
        for joint, place, end in zip(met, places, ends, strict=True)
    )
    return Round(member=name, sense=sense, length_mm=length_mm, stops=stops)


def _angle_deg(unit: Unit, here: str, there: str) -> float:
    (x, y), (p, q) = centre_of(unit, here), centre_of(unit, there)
    return math.degrees(math.atan2(q - y, p - x)) % 360.0


def _nip(unit: Unit, joint: Joint, rounds: dict[str, Round]) -> Nip:
    a, b = rounds[joint.a].stop(joint.id), rounds[joint.b].stop(joint.id)
    centre_a, centre_b = centre_of(unit, joint.a), centre_of(unit, joint.b)
    reach_mm = radius_mm(unit, joint.a) + radius_mm(unit, joint.b)
    gap_mm = 0.0 if joint.is_permanent else max(0.0, math.dist(centre_a, centre_b) - reach_mm)
    return Nip(
        id=joint.id,
        a=joint.a,
        b=joint.b,
        kind=joint.kind,
        at=_middle(centre_a, centre_b, share=(radius_mm(unit, joint.a) + gap_mm / 2) / (reach_mm + gap_mm)),
        gap_mm=gap_mm,
        angle_a_deg=a.angle_deg,
        angle_b_deg=b.angle_deg,
        place_a_mm=a.place_mm,
        place_b_mm=b.place_mm,
    )


def _middle(a: Place, b: Place, *, share: float) -> Point:
    """The middle of the nip, on the line of the centres."""
    return Point(x_mm=a[0] + share * (b[0] - a[0]), y_mm=a[1] + share * (b[1] - a[1]))
