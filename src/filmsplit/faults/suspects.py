"""Every part of a press that can mark a sheet at a distance, with the travel after which it marks again."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.faults.priors import SuspectKind
from filmsplit.messages import label
from filmsplit.press import CYLINDER_IDS, Press, Roller, Unit
from filmsplit.press.repeats import FRICTION_DIAMETER_SD_MM, repeat_of, turns_ratio
from filmsplit.press.speeds import travel_of_one_turn_mm
from filmsplit.press.words import DriveKind, MotionKind, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A part that may have marked the sheet. ``members`` are the rollers or cylinders it stands for.

    ``repeat_mm`` is travel from one mark to the next, ``sd_mm`` how well that is known. ``speed`` is the part's own
    surface speed over press speed: below 1 for a slow roller, whose marks stand further apart than its circumference.
    """

    unit: str
    kind: SuspectKind
    members: tuple[str, ...]
    repeat_mm: float
    sd_mm: float
    geared: bool
    speed: float = 1.0
    assumed: bool = False

    @property
    def id(self) -> str:
        """Unit, sort and members in one word: unique within a press."""
        return f"{self.unit}:{self.kind.value}:{'+'.join(self.members)}"

    @property
    def name(self) -> str:
        """What to call it to a person."""
        return label(f"mark_suspect.{self.kind.value}", unit=self.unit, members=", ".join(self.members))

    @property
    def is_roller(self) -> bool:
        return self.kind in (SuspectKind.FORM_ROLLER, SuspectKind.ROLLER, SuspectKind.DUCTOR_ROLLER)


def suspects_of(press: Press, unit: Unit) -> tuple[Suspect, ...]:
    """All suspects of one unit: rollers in file order, cylinders and gap, gears, ductor and oscillator cycles."""
    return (
        *_rollers(press, unit),
        *_cylinders(unit),
        *_gears(unit),
        *_ductor_cycles(press, unit),
        *_oscillator_cycles(press, unit),
    )


def roller_suspect(press: Press, unit: Unit, roller: Roller) -> Suspect | None:
    """The roller as a suspect; ``None`` where neither gearing nor contacts say how fast its surface runs."""
    run = travel_of_one_turn_mm(unit, roller)
    if run is None:
        return None
    geared = turns_ratio(unit, roller) is not None
    repeat = repeat_of(unit, roller.id)
    assumed_sd_mm = None if geared else _assumed_sd_mm(press, unit, roller)
    own_sd_mm = 0.0 if geared else math.pi * FRICTION_DIAMETER_SD_MM
    sd_mm = own_sd_mm if assumed_sd_mm is None else math.hypot(own_sd_mm, assumed_sd_mm)
    return Suspect(
        unit=unit.id,
        kind=_kind_of(roller),
        members=(roller.id,),
        repeat_mm=run,
        sd_mm=sd_mm * run / repeat.length_mm,
        geared=geared,
        speed=roller.circumference_mm / run if geared else repeat.length_mm / run,
        assumed=assumed_sd_mm is not None,
    )


def _rollers(press: Press, unit: Unit) -> tuple[Suspect, ...]:
    found = (roller_suspect(press, unit, roller) for roller in unit.rollers)
    return tuple(suspect for suspect in found if suspect is not None)


def _kind_of(roller: Roller) -> SuspectKind:
    if roller.motion.kind is MotionKind.DUCTS:
        return SuspectKind.DUCTOR_ROLLER
    return SuspectKind.FORM_ROLLER if roller.role is Role.FORM else SuspectKind.ROLLER


def _assumed_sd_mm(press: Press, unit: Unit, roller: Roller) -> float | None:
    """Spread of an assumed circumference; ``None`` where the diameter was given."""
    spread_mm = _spread(press, "units", unit.id, "rollers", roller.id, "diameter_mm")
    drawn = not roller.drive.kind.is_friction and roller.drawn_diameter_mm != roller.diameter_mm
    return None if spread_mm is None or drawn else math.pi * spread_mm


def _spread(press: Press, *path: str) -> float | None:
    for assumption in press.assumptions:
        if assumption.path == path:
            return assumption.spread
    return None


def cylinder_suspect(unit: Unit, member: str) -> Suspect:
    """Plate, blanket or impression as a suspect."""
    return _driven(unit, SuspectKind(member), (member,), repeat_mm=repeat_of(unit, member).length_mm)


def _cylinders(unit: Unit) -> tuple[Suspect, ...]:
    """The cylinders, and the gap: whatever it starts (a bounce, a bump at the lead edge) comes once a plate turn."""
    gap = _driven(unit, SuspectKind.GAP, ("plate",), repeat_mm=unit.cylinders.plate.circumference_mm)
    return (*(cylinder_suspect(unit, member) for member in CYLINDER_IDS), gap)


def _gears(unit: Unit) -> tuple[Suspect, ...]:
    """Gears in mesh pass as many teeth in a plate turn, whatever their size: one pitch on the sheet for them all."""
    cylinders = unit.cylinders
    by_teeth: dict[float, list[str]] = {}
    for name, gear in (("plate", cylinders.plate), ("blanket", cylinders.blanket)):
        if gear.gear_teeth is not None:
            by_teeth.setdefault(float(gear.gear_teeth), []).append(name)
    for roller in unit.rollers:
        ratio = turns_ratio(unit, roller)
        if ratio is not None and roller.drive.teeth is not None and roller.drive.kind is DriveKind.GEAR:
            by_teeth.setdefault(round(ratio * roller.drive.teeth, 6), []).append(roller.id)
    plate_mm = cylinders.plate.circumference_mm
    return tuple(
        _driven(unit, SuspectKind.GEARS, tuple(members), repeat_mm=plate_mm / teeth)
        for teeth, members in by_teeth.items()
    )


def _ductor_cycles(press: Press, unit: Unit) -> tuple[Suspect, ...]:
    ductors = (roller for roller in unit.rollers if roller.motion.kind is MotionKind.DUCTS)
    return tuple(_cycle(press, unit, (roller,), kind=SuspectKind.DUCTOR_CYCLE) for roller in ductors)


def _oscillator_cycles(press: Press, unit: Unit) -> tuple[Suspect, ...]:
    """One suspect for all oscillators of one cycle: they are usually moved by one linkage."""
    by_cycle: dict[float, list[Roller]] = {}
    for roller in unit.rollers:
        if roller.motion.kind is MotionKind.OSCILLATES:
            by_cycle.setdefault(roller.motion.cycle_rev, []).append(roller)
    return tuple(
        _cycle(press, unit, tuple(rollers), kind=SuspectKind.OSCILLATOR_CYCLE) for rollers in by_cycle.values()
    )


def _cycle(press: Press, unit: Unit, rollers: tuple[Roller, ...], *, kind: SuspectKind) -> Suspect:
    plate_mm = unit.cylinders.plate.circumference_mm
    spreads = [_spread(press, "units", unit.id, "rollers", roller.id, "motion", "cycle_rev") for roller in rollers]
    known = any(spread is None for spread in spreads)
    sd_mm = 0.0 if known else plate_mm * min(spread for spread in spreads if spread is not None)
    members = tuple(roller.id for roller in rollers)
    repeat_mm = plate_mm * rollers[0].motion.cycle_rev
    return _driven(unit, kind, members, repeat_mm=repeat_mm, sd_mm=sd_mm)


def _driven(
    unit: Unit, kind: SuspectKind, members: tuple[str, ...], *, repeat_mm: float, sd_mm: float = 0.0
) -> Suspect:
    return Suspect(
        unit=unit.id, kind=kind, members=members, repeat_mm=repeat_mm, sd_mm=sd_mm, geared=True, assumed=sd_mm > 0
    )
