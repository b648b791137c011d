"""The ink train of a printing unit as a network of loops and nips."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Roller, Unit
from filmsplit.press.bodies import centre_of
from filmsplit.press.paths import carries
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.speeds import surface_speeds, travel_of_one_turn_mm
from filmsplit.press.turning import senses_of
from filmsplit.press.words import ContactKind, MotionKind, System, TurnSense
from filmsplit.simulation.network import (
    DuctorFeed,
    Feed,
    FountainFeed,
    Loop,
    LoopRole,
    Network,
    Nip,
    Place,
    Swing,
)

INK_FEED = "ink"
"""Name of the feed of a unit's ink fountain."""


def ink_network(unit: Unit, *, parted: frozenset[str] = frozenset()) -> Network:
    """The ink train of a surveyed unit; ``parted`` names contacts that are off (a bridge thrown out).

    :class:`Refusal` where the unit has no ink feed that this model knows, or a ductor that cannot keep its cycle.
    """
    parts = _Parts(unit, {roller.id: roller for roller in unit.rollers if carries(roller, System.INK)}, parted)
    feed = _feed(parts)
    fountain = unit.fountain.roller if unit.fountain is not None else ""
    rollers = [roller for roller in parts.rollers.values() if roller.id != fountain]
    width_mm = width_of(unit)
    plate_mm = unit.cylinders.plate.circumference_mm
    loops = [_loop(parts, roller, width_mm=width_mm) for roller in rollers]
    cylinders = (("plate", LoopRole.PLATE), ("blanket", LoopRole.BLANKET))
    return Network(
        id=unit.id,
        plate_mm=plate_mm,
        loops=(*loops, *(Loop(id=id, length_mm=plate_mm, role=role) for id, role in cylinders)),
        nips=(*_nips(parts), Nip(a=parts.place("plate", "blanket"), b=parts.place("blanket", "plate"))),
        feeds=(feed,),
        sheet=parts.place("blanket", "impression"),
    )


def width_of(unit: Unit) -> float:
    """Width across that the cells must cover: the longest ink roller's face."""
    return max(roller.face_mm for roller in unit.rollers if carries(roller, System.INK))


@dataclass(frozen=True, slots=True)
class _Parts:
    unit: Unit
    rollers: Mapping[str, Roller]
    parted: frozenset[str]

    @property
    def contacts(self) -> Iterator[Contact]:
        """Contacts of ink rollers with each other and with the plate."""
        members = {*self.rollers, "plate"}
        return (c for c in self.unit.contacts if c.a in members and c.b in members and c.id not in self.parted)

    def place(self, member: str, other: str) -> Place:
        """Where ``member`` meets ``other``, measured going with its rotation; the plate from its first form nip."""
        turn = self._turn(member, other)
        if member == "plate":
            turn -= self._turn("plate", self.first_form)
        length_mm = self.travel_mm(self.rollers[member]) if member in self.rollers else self._plate_mm
        return Place(loop=member, at_mm=(turn % 1.0) * length_mm)

    @property
    def joined(self) -> Unit:
        """The unit with only the contacts that are on."""
        return replace(self.unit, contacts=tuple(self.contacts))

    def travel_mm(self, roller: Roller) -> float:
        """Press travel for one turn. A roller that meets nothing gets its own circumference: it exchanges no ink."""
        travel_mm = travel_of_one_turn_mm(self.joined, roller)
        if travel_mm is None and self.joined.contacts_of(roller.id):
            assert self.first_form  # where no roller meets the plate, that is what is refused: the cause of the rest
            path = ("units", self.unit.id, "rollers", roller.id)
            raise Refusal(Problem("ink-speed-unknown", {"unit": self.unit.id, "roller": roller.id}, path))
        return roller.circumference_mm if travel_mm is None else travel_mm

    @property
    def _plate_mm(self) -> float:
        return self.unit.cylinders.plate.circumference_mm

    @property
    def first_form(self) -> str:
        for form in form_rollers(self.unit):
            if form.id in self.rollers:
                return form.id
        raise Refusal(Problem("ink-no-form-roller", {"unit": self.unit.id}, ("units", self.unit.id, "contacts")))

    def _turn(self, member: str, other: str) -> float:
        """Part of a turn from the member's zero to where it meets ``other``, with the rotation."""
        (x, y), (to_x, to_y) = centre_of(self.unit, member), centre_of(self.unit, other)
        turn = math.atan2(to_y - y, to_x - x) / (2 * math.pi)
        return turn if senses_of(self.unit)[member] is TurnSense.ANTICLOCKWISE else -turn


def _loop(parts: _Parts, roller: Roller, *, width_mm: float) -> Loop:
    motion = roller.motion
    swing = None
    if motion.kind is MotionKind.OSCILLATES:
        swing = Swing(stroke_mm=motion.stroke_mm, cycle_rev=motion.cycle_rev, phase_deg=motion.phase_deg)
    margin_mm = (width_mm - roller.face_mm) / 2
    return Loop(
        id=roller.id,
        length_mm=parts.travel_mm(roller),
        face_mm=None if margin_mm <= 0 else (margin_mm, width_mm - margin_mm),
        swing=swing,
        speed=surface_speeds(parts.joined).get(roller.id, 1.0),  # left out only where it meets nothing, or gears tell
    )


def _nips(parts: _Parts) -> Iterator[Nip]:
    fountain = parts.unit.fountain.roller if parts.unit.fountain is not None else ""
    for contact in parts.contacts:
        if contact.joins(fountain):
            continue
        slips = contact.kind is ContactKind.SLIPS
        yield Nip(a=parts.place(contact.a, contact.b), b=parts.place(contact.b, contact.a), slips=slips)


def _feed(parts: _Parts) -> Feed:
    unit = parts.unit
    if unit.fountain is None:
        raise Refusal(Problem("ink-no-fountain", {"unit": unit.id}, ("units", unit.id)))
    fountain = unit.fountain.roller
    margin_mm = (width_of(unit) - unit.roller(fountain).face_mm) / 2
    first_mm = margin_mm + unit.fountain.first_zone_mm
    face_mm = (first_mm, first_mm + sum(unit.fountain.zone_widths_mm))
    for contact in unit.contacts_of(fountain):
        other = contact.other(fountain)
        if contact.id in parts.parted or other not in parts.rollers:
            continue
        roller = parts.rollers[other]
        if roller.motion.kind is MotionKind.DUCTS:
            return _ductor(parts, roller, face_mm=face_mm)
        if contact.kind is ContactKind.SLIPS and contact.speed_ratio:
            ratio = contact.speed_ratio if contact.a == fountain else 1.0 / contact.speed_ratio
            return FountainFeed(id=INK_FEED, at=parts.place(other, fountain), speed_ratio=ratio, face_mm=face_mm)
    path = ("units", unit.id, "rollers", fountain)
    raise Refusal(Problem("ink-feed-unknown", {"unit": unit.id, "roller": fountain}, path))


def _ductor(parts: _Parts, roller: Roller, *, face_mm: tuple[float, float]) -> DuctorFeed:
    motion, unit = roller.motion, parts.unit
    plate_mm = unit.cylinders.plate.circumference_mm
    if motion.dwell_feed_mm + motion.dwell_train_mm >= motion.cycle_rev * plate_mm:
        path = ("units", unit.id, "rollers", roller.id, "motion")
        values = {"unit": unit.id, "roller": roller.id, "cycle_mm": motion.cycle_rev * plate_mm}
        raise Refusal(Problem("ductor-cycle-too-short", values, path))
    assert unit.fountain is not None
    return DuctorFeed(
        id=INK_FEED,
        fountain=parts.place(roller.id, unit.fountain.roller),
        cycle_rev=motion.cycle_rev,
        dwell_feed_mm=motion.dwell_feed_mm,
        dwell_train_mm=motion.dwell_train_mm,
        phase_deg=motion.phase_deg,
        face_mm=face_mm,
    )
