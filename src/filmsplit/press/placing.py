"""A first place for rollers whose centre is unknown: by the members they touch."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.numerics.circles import clearance, crossings
from filmsplit.press.bodies import Joint, Place, centre_of, ductors_of, joints_of, radius_mm
from filmsplit.press.press import Unit
from filmsplit.press.words import TurnSense

Circle = tuple[Place, float]

_ANGLES = 72
_SIDE_CLEAR_MM = -2.0
"""A side of a crossing counts as free if the roller would overlap others there by no more than this."""


@dataclass(slots=True)
class Placed:
    """Centres found so far, and of those placed here the ones whose contacts leave a choice."""

    centres: dict[str, Place]
    by_contacts: list[str]
    ambiguous: list[str]


def place_unknown(unit: Unit) -> Placed:
    """Centres of all members: the written ones, and for the rest a first place found from what they touch.

    The roller with most placed neighbours comes first. Two neighbours leave two sides, of which the one clear of
    other members is taken; one neighbour leaves a whole ring, of which the clearest place is taken.
    """
    known = {name: centre_of(unit, name) for name in unit.member_ids if unit.member(name).centre is not None}
    placed = Placed(known, [], [])
    waiting = [roller.id for roller in unit.rollers if roller.centre is None]
    joints = joints_of(unit)
    while waiting:
        name = max(waiting, key=lambda name: len(_placed_neighbours(name, joints, placed)))
        waiting.remove(name)
        neighbours = _placed_neighbours(name, joints, placed)
        placed.by_contacts.append(name)
        placed.centres[name] = _place_one(unit, name, neighbours=neighbours, placed=placed)
    return placed


def _placed_neighbours(name: str, joints: tuple[Joint, ...], placed: Placed) -> list[Joint]:
    """Joints of ``name`` with members that have a place: those that always meet first."""
    found = [joint for joint in joints if joint.joins(name) and joint.other(name) in placed.centres]
    return sorted(found, key=lambda joint: not joint.is_permanent)


def _place_one(unit: Unit, name: str, *, neighbours: list[Joint], placed: Placed) -> Place:
    radius = radius_mm(unit, name)
    circles = [(placed.centres[joint.other(name)], _reach_mm(unit, name, joint)) for joint in neighbours]
    touched = {joint.other(name) for joint in neighbours}
    others = [(centre, radius_mm(unit, other)) for other, centre in placed.centres.items() if other not in touched]
    if not circles:
        return _outside(unit, radius, placed)
    if len(circles) >= 2:
        (first, first_reach), (second, second_reach) = circles[:2]
        sides = crossings(first, first_reach, second=second, second_radius=second_reach)
        if sides is not None:
            side, free = _better_side(radius, sides, further=circles[2:], others=others)
            if free:
                placed.ambiguous.append(name)
            return side
    placed.ambiguous.append(name)
    return _clearest(unit, radius, circles=circles, others=others)


def _reach_mm(unit: Unit, name: str, joint: Joint) -> float:
    """Distance of the centres at which the two meet; a ductor stands half its swing off."""
    half_swing = 0.0 if joint.is_permanent else max(_swing_mm(unit, joint.a), _swing_mm(unit, joint.b)) / 2
    return radius_mm(unit, name) + radius_mm(unit, joint.other(name)) + half_swing


def _swing_mm(unit: Unit, name: str) -> float:
    """Free way of a ductor; 0 for all others."""
    return next((ductor.motion.swing_mm for ductor in ductors_of(unit) if ductor.id == name), 0.0)


def _better_side(
    radius: float, sides: tuple[Place, Place], *, further: list[Circle], others: list[Circle]
) -> tuple[Place, bool]:
    """The side that further contacts ask for, or that is clear of others; and whether the other would do as well."""
    if further:
        out = [sum(abs(math.dist(side, centre) - reach) for centre, reach in further) for side in sides]
        return sides[0 if out[0] <= out[1] else 1], False
    room = [clearance(side, radius, others=others) for side in sides]
    return sides[0 if room[0] >= room[1] else 1], min(room) > _SIDE_CLEAR_MM


def _clearest(unit: Unit, radius: float, *, circles: list[Circle], others: list[Circle]) -> Place:
    """The place on the ring round the first neighbour that is clearest of others and nearest to the second.

    Angles are counted from the direction plate to neighbour, going with the plate's turn, so that neither a turned
    nor a mirrored picture changes the answer.
    """
    (x, y), reach = circles[0]
    plate = centre_of(unit, "plate")
    start = math.atan2(y - plate[1], x - plate[0]) if (x, y) != plate else 0.0
    turn = 1.0 if unit.cylinders.plate_turns is TurnSense.ANTICLOCKWISE else -1.0
    best, best_score = (x, y), -math.inf
    for n in range(_ANGLES):
        angle = start + turn * 2 * math.pi * n / _ANGLES
        place = (x + reach * math.cos(angle), y + reach * math.sin(angle))
        out = sum(abs(math.dist(place, centre) - other) for centre, other in circles[1:])
        score = min(clearance(place, radius, others=others), 2 * radius) - out
        if score > best_score + 1e-9:
            best, best_score = place, score
    return best


def _outside(unit: Unit, radius: float, placed: Placed) -> Place:
    """Clear of everything, for a roller that touches nothing with a place: to the right of all."""
    right = max(x + radius_mm(unit, name) for name, (x, _) in placed.centres.items())
    return (right + radius + 10.0, placed.centres["plate"][1])
