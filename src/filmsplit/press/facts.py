"""The facts of a press: everything that follows from its description by counting and measuring."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages import Problem
from filmsplit.press.dampening import Continuity, Dampening, continuity_of, dampening_of
from filmsplit.press.gears import DrivenSlip, GearPitch, driven_slips, gear_pitches
from filmsplit.press.loops import Loops, loops_of
from filmsplit.press.makeup import MakeUp
from filmsplit.press.paths import Paths, paths_of
from filmsplit.press.plate_order import FormRoller, form_rollers
from filmsplit.press.press import Press, Unit
from filmsplit.press.surfaces import (
    NEAR_WHOLE_TURN,
    NEARLY_EQUAL,
    InkArea,
    NearlyEqual,
    RollerFacts,
    ink_area,
    nearly_equal_forms,
    roller_facts,
)
from filmsplit.press.words import ContactKind, DriveKind, MotionKind, System

Tally = tuple[tuple[Enum, int], ...]
"""How many of each word of a list, zeros included, in the order of the list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """From where on two lengths count as the same. Both are common practice and may be changed."""

    near_whole_turn: float = NEAR_WHOLE_TURN
    nearly_equal: float = NEARLY_EQUAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """Rollers of a unit by system, make-up, motion and drive, and nips by kind."""

    by_system: Tally
    by_make_up: Tally
    by_motion: Tally
    by_drive: Tally
    nips_by_kind: Tally

    @property
    def rollers(self) -> int:
        return sum(number for _, number in self.by_system)

    @property
    def nips(self) -> int:
        """Nips that rollers take part in; plate on blanket and blanket on impression are not among them."""
        return sum(number for _, number in self.nips_by_kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitFacts:
    """The facts of one printing unit."""

    id: str
    name: str
    plate_circumference_mm: float
    zones: int
    counts: Counts
    rollers: tuple[RollerFacts, ...]
    forms: tuple[FormRoller, ...]
    lifts_out: tuple[str, ...]
    ink_paths: Paths
    water_paths: Paths
    ink_feed: Continuity
    loops: Loops
    nearly_equal_forms: tuple[NearlyEqual, ...]
    ink_area: InkArea
    dampening: Dampening
    slips: tuple[DrivenSlip, ...]
    gears: tuple[GearPitch, ...]

    def roller(self, id: str) -> RollerFacts:
        """The facts of the roller called ``id``; ``KeyError`` if this unit has none."""
        for roller in self.rollers:
            if roller.id == id:
                return roller
        raise KeyError(id)

    def forms_of(self, system: System) -> tuple[FormRoller, ...]:
        """The form rollers of one system, in plate order."""
        return tuple(form for form in self.forms if form.system is system)

    @property
    def near_whole(self) -> tuple[RollerFacts, ...]:
        """The rollers that come out nearly even with the plate."""
        return tuple(roller for roller in self.rollers if roller.near_whole is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PressFacts:
    """The facts of a press, unit by unit. ``findings`` are the facts worth a sentence."""

    id: str
    name: str
    hand_wheel: bool
    assumptions: int
    units: tuple[UnitFacts, ...]
    findings: tuple[Problem, ...]

    def unit(self, id: str) -> UnitFacts:
        """The facts of the unit called ``id``; ``KeyError`` if there is none."""
        for unit in self.units:
            if unit.id == id:
                return unit
        raise KeyError(id)


def facts_of(press: Press, *, tolerances: Tolerances | None = None) -> PressFacts:
    """Every fact of a press. Its layout should have been surveyed, so that centres are true."""
    from filmsplit.press.findings import findings_of  # noqa: PLC0415  findings are written about facts

    units = tuple(unit_facts(press, unit, tolerances=tolerances or Tolerances()) for unit in press.units)
    return PressFacts(
        id=press.id,
        name=press.name,
        hand_wheel=press.hand_wheel,
        assumptions=len(press.assumptions),
        units=units,
        findings=tuple(finding for unit in units for finding in findings_of(unit)),
    )


def unit_facts(press: Press, unit: Unit, *, tolerances: Tolerances) -> UnitFacts:
    """Every fact of one printing unit."""
    rollers = tuple(roller_facts(unit, roller, within_turn=tolerances.near_whole_turn) for roller in unit.rollers)
    ink_paths = paths_of(unit, System.INK)
    return UnitFacts(
        id=unit.id,
        name=unit.name,
        plate_circumference_mm=unit.cylinders.plate.circumference_mm,
        zones=len(unit.fountain.zone_widths_mm) if unit.fountain else 0,
        counts=_counts(unit, rollers),
        rollers=rollers,
        forms=form_rollers(unit),
        lifts_out=tuple(roller.id for roller in rollers if roller.lifts_out),
        ink_paths=ink_paths,
        water_paths=paths_of(unit, System.DAMPENING),
        ink_feed=continuity_of(ink_paths),
        loops=loops_of(unit),
        nearly_equal_forms=nearly_equal_forms(unit, within=tolerances.nearly_equal),
        ink_area=ink_area(press, unit),
        dampening=dampening_of(unit),
        slips=driven_slips(unit),
        gears=gear_pitches(unit),
    )


def _counts(unit: Unit, rollers: Iterable[RollerFacts]) -> Counts:
    rollers = tuple(rollers)
    return Counts(
        by_system=_tally(System, (roller.system for roller in rollers)),
        by_make_up=_tally(MakeUp, (roller.make_up for roller in rollers)),
        by_motion=_tally(MotionKind, (roller.motion for roller in rollers)),
        by_drive=_tally(DriveKind, (roller.drive for roller in rollers)),
        nips_by_kind=_tally(ContactKind, (contact.kind for contact in unit.contacts)),
    )


def _tally(words: type[Enum], found: Iterable[Enum]) -> Tally:
    counted = list(found)
    return tuple((word, counted.count(word)) for word in words)
