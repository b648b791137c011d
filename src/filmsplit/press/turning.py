"""Which way every member turns, and loops that cannot turn at all."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from filmsplit.messages import Problem
from filmsplit.press.bodies import Joint, joints_of
from filmsplit.press.press import Unit
from filmsplit.press.words import ContactKind, SlipDirection, TurnSense

_BY_STRENGTH = (ContactKind.ROLLS, ContactKind.SLIPS, ContactKind.TOUCHES)
"""Rolling contacts decide first; a slipping one only where none does; one that touches at times last of all."""


MOST_JAMS = 5


def senses_of(unit: Unit) -> Mapping[str, TurnSense | None]:
    """Turn of every member, told from the plate's through the contacts; ``None`` where no contact leads there.

    In a train that jams, the members of the loop get the turn of the shortest way from the plate.
    """
    senses: dict[str, TurnSense | None] = dict.fromkeys(unit.member_ids)
    senses["plate"] = unit.cylinders.plate_turns
    joints = joints_of(unit)
    for strength in range(1, len(_BY_STRENGTH) + 1):
        _spread(senses, [joint for joint in joints if joint.kind in _BY_STRENGTH[:strength]])
    return MappingProxyType(senses)


def _spread(senses: dict[str, TurnSense | None], joints: Iterable[Joint]) -> None:
    """Pass the turn on through ``joints`` until nobody new learns it."""
    queue = deque(name for name, sense in senses.items() if sense is not None)
    while queue:
        name = queue.popleft()
        sense = senses[name]
        for joint in joints:
            if sense is not None and joint.joins(name) and senses[joint.other(name)] is None:
                senses[joint.other(name)] = sense if turns_alike(joint) else sense.reversed
                queue.append(joint.other(name))


def turns_alike(joint: Joint) -> bool:
    """Whether both members turn the same way round: only where slipping surfaces run opposite ways in the nip."""
    contact = joint.contact
    return contact is not None and joint.kind is ContactKind.SLIPS and contact.slip_direction is SlipDirection.OPPOSITE


def at_press_speed(unit: Unit) -> frozenset[str]:
    """The members that rolling contacts tie to the plate: their surfaces run as fast as the plate's."""
    joints = [joint for joint in joints_of(unit) if joint.kind is ContactKind.ROLLS]
    tied: set[str] = set()
    waiting = {"plate"}
    while waiting:
        tied |= waiting
        waiting = {joint.other(name) for joint in joints for name in waiting if joint.joins(name)} - tied
    return frozenset(tied)


def jams_of(unit: Unit) -> tuple[tuple[str, ...], ...]:
    """Loops of rolling contacts with an odd number of members, the shortest first, no contact in two of them.

    ``MOST_JAMS`` are named at most: once these are put right the rest look different.
    """
    joints = [joint for joint in joints_of(unit) if joint.kind is ContactKind.ROLLS]
    order = unit.member_ids
    loops: list[tuple[str, ...]] = []
    while len(loops) < MOST_JAMS and (loop := _shortest_odd_loop(order, joints)):
        loops.append(loop)
        used = {frozenset(pair) for pair in zip(loop, loop[1:] + loop[:1], strict=True)}
        joints = [joint for joint in joints if joint.pair not in used]
    return tuple(loops)


def _shortest_odd_loop(order: tuple[str, ...], joints: list[Joint]) -> tuple[str, ...]:
    """The shortest odd loop, beginning with its first member in file order; empty if there is none."""
    neighbours: dict[str, list[str]] = {name: [] for name in order}
    for joint in joints:
        neighbours[joint.a].append(joint.b)
        neighbours[joint.b].append(joint.a)
    best: tuple[str, ...] = ()
    for root in order:
        loop = _odd_loop_through(root, neighbours)
        if loop and (not best or len(loop) < len(best)):
            best = loop
    return best


def _odd_loop_through(root: str, neighbours: dict[str, list[str]]) -> tuple[str, ...]:
    """Walk outwards from ``root``: a contact between two members equally far out closes an odd loop."""
    way: dict[str, tuple[str, ...]] = {root: (root,)}
    queue = deque([root])
    while queue:
        name = queue.popleft()
        for other in neighbours[name]:
            if other not in way:
                way[other] = (*way[name], other)
                queue.append(other)
            elif len(way[other]) == len(way[name]) and not set(way[name][1:]) & set(way[other][1:]):
                return (*way[name], *reversed(way[other][1:]))
    return ()


def turning_problems(unit: Unit) -> tuple[Problem, ...]:
    """Loops that cannot turn, and slipping contacts stated against what the rolling ones make of them."""
    jams = [
        Problem("train-jams", {"unit": unit.id, "loop": " – ".join((*loop, loop[0]))}, _path(unit, loop))
        for loop in jams_of(unit)
    ]
    return (*jams, *([] if jams else _slip_problems(unit)))


def _path(unit: Unit, loop: tuple[str, ...]) -> tuple[str, ...]:
    """Where the file says so: the last contact of the loop that is written there."""
    members = set(loop)
    written = [joint for joint in joints_of(unit) if joint.contact is not None and joint.pair <= members]
    return ("units", unit.id, "contacts", written[-1].id) if written else ("units", unit.id, "contacts")


def _slip_problems(unit: Unit) -> list[Problem]:
    senses = senses_of(unit)
    found = []
    for joint in joints_of(unit):
        a, b = senses[joint.a], senses[joint.b]
        if joint.kind is not ContactKind.SLIPS or a is None or b is None or (a is b) == turns_alike(joint):
            continue
        path = ("units", unit.id, "contacts", joint.id, "slip_direction")
        found.append(Problem("slip-direction-disagrees", {"unit": unit.id, "contact": joint.id}, path))
    return found
