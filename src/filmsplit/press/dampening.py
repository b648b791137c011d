"""How the water comes to the plate: with the ink or apart from it, steadily or in portions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from itertools import permutations

from filmsplit.press.contacts import Contact
from filmsplit.press.paths import Path, Paths, paths_of
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import MotionKind, Role, System


class WaterSupply(Enum):
    """By what the water reaches the plate."""

    INTEGRATED = "integrated"
    SEPARATE = "separate"
    CONTACTLESS = "contactless"
    NONE = "none"


class Continuity(Enum):
    """Whether a feed is steady, or comes in portions by a ductor."""

    CONTINUOUS = "continuous"
    INTERMITTENT = "intermittent"
    NONE = "none"


class BridgePosition(Enum):
    """Where the bridge stands between dampening and ink; ``ALWAYS`` where nothing can be thrown off."""

    ALWAYS = "always"
    IN = "in"
    OUT = "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterWay:
    """The dampening in one bridge position: its class, and the shortest way that shows why.

    ``ink_forms`` are the form rollers that bring water and ink together, ``own_forms`` those that bring water alone.
    """

    position: BridgePosition
    supply: WaterSupply
    ink_forms: tuple[str, ...]
    own_forms: tuple[str, ...]
    reason_path: Path | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dampening:
    """The dampening of a unit: one entry of ``ways`` for each bridge position; ``ductors`` make it intermittent."""

    ways: tuple[WaterWay, ...]
    bridges: tuple[str, ...]
    continuity: Continuity
    ductors: tuple[str, ...]

    @property
    def switchable(self) -> bool:
        """Whether throwing the bridge off changes the class."""
        return len({way.supply for way in self.ways}) > 1


def dampening_of(unit: Unit) -> Dampening:
    """Class of the dampening, in each position the bridge can have, with the reason."""
    bridges = _joining_bridges(unit)
    movable = [contact for contact in unit.contacts if contact.throws_off and any(map(contact.joins, bridges))]
    rest = [contact for contact in unit.contacts if contact not in movable]
    ways = [_way(unit, unit.contacts, BridgePosition.IN if movable else BridgePosition.ALWAYS)]
    if movable:
        ways.append(_way(unit, rest, BridgePosition.OUT))
    water = paths_of(unit, System.DAMPENING)
    ductors = ducting_members(unit, water)
    return Dampening(ways=tuple(ways), bridges=bridges, continuity=continuity_of(water), ductors=ductors)


def continuity_of(paths: Paths) -> Continuity:
    """Any ducting member on any way makes a feed intermittent; with no way there is none."""
    if not paths.paths:
        return Continuity.NONE
    return Continuity.INTERMITTENT if any(path.ducts for path in paths.paths) else Continuity.CONTINUOUS


def ducting_members(unit: Unit, paths: Paths) -> tuple[str, ...]:
    """The ducting rollers on the ways found, in the order the liquid meets them."""
    met = dict.fromkeys(id for path in paths.paths if path.ducts for id in path.rollers)
    return tuple(id for id in met if unit.roller(id).motion.kind is MotionKind.DUCTS)


def _joining_bridges(unit: Unit) -> tuple[str, ...]:
    """Bridge rollers from a roller that may bring water to another that may bring ink (inside the ink train: none)."""
    return tuple(
        roller.id
        for roller in unit.rollers
        if roller.role is Role.BRIDGE and any(_joins(a, b) for a, b in permutations(_beside(unit, roller), 2))
    )


def _joins(wet: Roller, inky: Roller) -> bool:
    return wet.system is not System.INK and inky.system is not System.DAMPENING


def _beside(unit: Unit, roller: Roller) -> list[Roller]:
    others = {contact.other(roller.id) for contact in unit.contacts_of(roller.id)}
    return [other for other in unit.rollers if other.id in others]


def _way(unit: Unit, contacts: Iterable[Contact], position: BridgePosition) -> WaterWay:
    contacts = tuple(contacts)
    water = paths_of(unit, System.DAMPENING, contacts=contacts)
    inked = {supply.form for supply in paths_of(unit, System.INK, contacts=contacts).supplies}
    shortest = {path.form: path for path in reversed(water.paths)}
    ink_forms = tuple(s.form for s in water.supplies if _carries_ink(unit.roller(s.form), inked))
    own_forms = tuple(s.form for s in water.supplies if s.form not in ink_forms)
    return WaterWay(
        position=position,
        supply=_supply(unit, ink_forms, own_forms),
        ink_forms=ink_forms,
        own_forms=own_forms,
        reason_path=next((shortest[form] for form in (*ink_forms, *own_forms)), None),
    )


def _carries_ink(form: Roller, inked: set[str]) -> bool:
    """An ink form roller always; a shared one if ink has a way to it in this position of the bridge."""
    return form.system is System.INK or (form.system is System.SHARED and form.id in inked)


def _supply(unit: Unit, ink_forms: tuple[str, ...], own_forms: tuple[str, ...]) -> WaterSupply:
    if ink_forms:
        return WaterSupply.INTEGRATED
    if own_forms:
        return WaterSupply.SEPARATE
    has_way = bool(paths_of(unit, System.DAMPENING).paths)  # else only the bridge, thrown off, cuts the water
    has_water = any(roller.system is not System.INK for roller in unit.rollers)
    return WaterSupply.CONTACTLESS if has_water and not has_way else WaterSupply.NONE
