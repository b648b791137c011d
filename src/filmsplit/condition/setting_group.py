"""Contacts that have to be set together, in numbers: what meets, and what each adjuster is said to move."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from filmsplit.condition.setting_order import linked, setting_order
from filmsplit.condition.setting_targets import USUAL_TEMPERATURES, Temperatures
from filmsplit.contact.described import described_pair
from filmsplit.contact.rollers import Pair
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Contact, Press, Unit
from filmsplit.press.contacts import CYLINDER_IDS, Adjuster
from filmsplit.press.words import AdjusterKind, TurnSense

UNKNOWN_BACKLASH_DEG = {AdjusterKind.SCREW: 20.0, AdjusterKind.ECCENTRIC: 6.0, AdjusterKind.LEVER: 6.0}
"""Lost motion where nobody wrote it down (invented default)."""
GAIN_SIGMA = 0.25
"""How far an adjuster's true movement is off what is written: sockets and frames give (invented default)."""
COUPLING_SIGMA = 0.3
UNKNOWN_COUPLING_SIGMA = 0.6
"""The same for what it does to another contact: by the centres, and where no centre is known (invented defaults)."""


class Side(Enum):
    """The two ends of a roller."""

    OPERATOR = "operator"
    GEAR = "gear"

    @property
    def text(self) -> str:
        return label(f"setting_side.{self.value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """One adjuster as written: ``mm_per_deg`` towards tighter. ``travel_left_mm`` is ``None`` where nobody knows."""

    mm_per_deg: float
    backlash_deg: float
    overhang_mm: float
    tightens: TurnSense | None = None
    travel_left_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupling:
    """The adjusters of ``source`` bring ``receiver`` closer by ``mean`` times what they bring their own contact."""

    source: str
    receiver: str
    mean: float
    sigma: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupContact:
    """One contact of a group. ``handles`` are those of the operator's and of the gear side, where both are known.

    ``pair`` is ``None`` where no law holds or no cover thickness is known; ``why`` then says so. ``face_mm`` is the
    length of the roller that is moved.
    """

    id: str
    target_mm: float
    face_mm: float
    pair: Pair | None
    handles: tuple[Handle, Handle] | None
    why: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetGroup:
    """Contacts set together, in setting order, and how they disturb each other."""

    contacts: tuple[GroupContact, ...]
    couplings: tuple[Coupling, ...]
    temperatures: Temperatures = USUAL_TEMPERATURES

    def contact(self, id: str) -> GroupContact:
        """The contact called ``id``; ``KeyError`` if it is not of this group."""
        for each in self.contacts:
            if each.id == id:
                return each
        raise KeyError(id)


def set_group(press: Press, unit: Unit, contact: Contact, *, temperatures: Temperatures | None = None) -> SetGroup:
    """The contact with those it disturbs or is disturbed by."""
    together = linked(unit, contact)
    planned = [each for each in setting_order(unit) if each.contact in together]
    return SetGroup(
        contacts=tuple(_contact(press, unit, each.contact, moved=each.moved) for each in planned),
        couplings=tuple(_couplings(unit, together)),
        temperatures=temperatures or USUAL_TEMPERATURES,
    )


def _contact(press: Press, unit: Unit, contact: Contact, *, moved: str) -> GroupContact:
    pair, why = _pair(press, unit, contact)
    handles = (_handle(contact.adjusters.operator), _handle(contact.adjusters.gear))
    operator, gear = handles
    known = operator is not None and gear is not None
    if not known:
        why = (*why, Problem("setting-adjuster-unknown", {"contact": contact.id}))
    return GroupContact(
        id=contact.id,
        target_mm=contact.stripe.target_mm,
        face_mm=press.face_mm if moved in CYLINDER_IDS else unit.roller(moved).face_mm,
        pair=pair,
        handles=(operator, gear) if operator is not None and gear is not None else None,
        why=why,
    )


def _pair(press: Press, unit: Unit, contact: Contact) -> tuple[Pair | None, tuple[Problem, ...]]:
    """Without a known cover thickness nobody can say how far a screw has to move."""
    try:
        described = described_pair(press, unit, contact)
    except Refusal as refusal:
        return None, tuple(refusal.problems)
    if any(path[-1] == "thickness_mm" for path in described.assumed):
        return None, (Problem("setting-cover-unknown", {"contact": contact.id}),)
    return described.pair, described.notes


def _handle(adjuster: Adjuster | None) -> Handle | None:
    if adjuster is None:
        return None
    screw = adjuster.kind is AdjusterKind.SCREW
    mm_per_deg = adjuster.mm_per_deg if not screw else adjuster.mm_per_turn and adjuster.mm_per_turn / 360.0
    if mm_per_deg is None:
        return None
    backlash = adjuster.backlash_deg
    return Handle(
        mm_per_deg=mm_per_deg,
        backlash_deg=UNKNOWN_BACKLASH_DEG[adjuster.kind] if backlash is None else backlash,
        overhang_mm=adjuster.overhang_mm,
        tightens=adjuster.tightens,
        travel_left_mm=adjuster.travel_left_mm,
    )


def _couplings(unit: Unit, together: tuple[Contact, ...]) -> Iterator[Coupling]:
    for source in together:
        for receiver in together:
            both = (source.adjusters.operator, source.adjusters.gear)
            if receiver.id != source.id and any(one is not None and one.also_moves == receiver.id for one in both):
                mean = _cosine(unit, source, receiver)
                yield Coupling(
                    source=source.id,
                    receiver=receiver.id,
                    mean=0.0 if mean is None else mean,
                    sigma=UNKNOWN_COUPLING_SIGMA if mean is None else COUPLING_SIGMA,
                )


def _cosine(unit: Unit, source: Contact, receiver: Contact) -> float | None:
    """A roller pushed towards one partner comes closer to another by the cosine between them. Geometry."""
    shared = {source.a, source.b} & {receiver.a, receiver.b}
    if len(shared) != 1:
        return None
    (moved,) = shared
    places = [unit.member(id).centre for id in (moved, source.other(moved), receiver.other(moved))]
    points = [(place.x_mm, place.y_mm) for place in places if place is not None]
    if len(points) < len(places):
        return None
    (x, y), *partners = points
    first, second = (math.atan2(py - y, px - x) for px, py in partners)
    return math.cos(first - second)
