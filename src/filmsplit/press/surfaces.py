"""Surfaces of the rollers: how large, how long once round, and how that stands to the plate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from filmsplit.press.makeup import MakeUp, make_up_of
from filmsplit.press.paths import carries
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.press import Press, Unit
from filmsplit.press.repeats import repeat_of
from filmsplit.press.roller import Roller
from filmsplit.press.speeds import travel_of_one_turn_mm
from filmsplit.press.words import DriveKind, MotionKind, Role, System

NEAR_WHOLE_TURN = 0.03
"""Within this part of a turn a ratio counts as whole (common practice: closer than a mark is wide on a small plate)."""

NEARLY_EQUAL = 0.03
"""Two form rollers whose circumferences differ by less than this part of the larger count as equal."""

OUTSIDE_TRAIN = (Role.FOUNTAIN, Role.DUCTOR)
"""These bring ink to the train; they do not hold a film that comes round to the plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NearWhole:
    """``roller_turns`` turns of the roller come out nearly even with ``plate_turns`` of the plate (one of them is 1).

    ``miss_turn`` is what is over, as part of a turn of the faster; ``walk_mm`` is how far a mark moves on until the
    same places meet again.
    """

    roller_turns: int
    plate_turns: int
    miss_turn: float
    walk_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerFacts:
    """One roller, counted and measured.

    ``repeat_mm`` is press travel for one turn (its own circumference where nothing says how fast it runs);
    ``turns_per_plate_turn`` is ``None`` where that is so, and for a ductor, which runs only while it touches the train.
    """

    id: str
    name: str
    role: Role
    system: System
    make_up: MakeUp
    motion: MotionKind
    drive: DriveKind
    lifts_out: bool
    contacts: int
    diameter_mm: float
    circumference_mm: float
    surface_m2: float
    repeat_mm: float
    repeat_sd_mm: float
    geared: bool
    turns_per_plate_turn: float | None
    near_whole: NearWhole | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NearlyEqual:
    """Two form rollers that come round almost together. ``difference`` is a part of the larger repeat."""

    a: str
    b: str
    difference_mm: float
    difference: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InkArea:
    """Roller surface in the ink train beside the plate it inks.

    ``all_m2`` counts every ink and shared roller, ``carrying_m2`` leaves out fountain roller and ductor. The plate
    counts without its gap, as wide as the usual roller face.
    """

    all_m2: float
    carrying_m2: float
    plate_m2: float

    @property
    def per_plate_area(self) -> float | None:
        """``None`` where the gap leaves no plate to ink."""
        return self.carrying_m2 / self.plate_m2 if self.plate_m2 > 0 else None


def surface_m2(roller: Roller) -> float:
    """Working surface of one roller."""
    return roller.circumference_mm * roller.face_mm / 1e6


def near_whole(repeat_mm: float, plate_mm: float, *, within_turn: float = NEAR_WHOLE_TURN) -> NearWhole | None:
    """Whether a repeat is nearly a whole part, or a whole multiple, of the plate's circumference."""
    long_mm, short_mm = max(repeat_mm, plate_mm), min(repeat_mm, plate_mm)
    turns = round(long_mm / short_mm)
    miss_turn = long_mm / short_mm - turns
    if abs(miss_turn) > within_turn:
        return None
    roller_is_faster = repeat_mm <= plate_mm
    return NearWhole(
        roller_turns=turns if roller_is_faster else 1,
        plate_turns=1 if roller_is_faster else turns,
        miss_turn=miss_turn,
        walk_mm=turns * short_mm - long_mm if roller_is_faster else long_mm - turns * short_mm,
    )


def roller_facts(unit: Unit, roller: Roller, *, within_turn: float = NEAR_WHOLE_TURN) -> RollerFacts:
    """What can be counted and measured on one roller of a unit."""
    repeat = repeat_of(unit, roller.id)
    plate_mm = unit.cylinders.plate.circumference_mm
    travel_mm = travel_of_one_turn_mm(unit, roller)
    repeat_mm = repeat.length_mm if travel_mm is None else travel_mm
    runs = travel_mm is not None and roller.motion.kind is not MotionKind.DUCTS
    return RollerFacts(
        id=roller.id,
        name=roller.name,
        role=roller.role,
        system=roller.system,
        make_up=make_up_of(roller),
        motion=roller.motion.kind,
        drive=roller.drive.kind,
        lifts_out=roller.lifts_out,
        contacts=len(unit.contacts_of(roller.id)),
        diameter_mm=roller.diameter_mm,
        circumference_mm=roller.circumference_mm,
        surface_m2=surface_m2(roller),
        repeat_mm=repeat_mm,
        repeat_sd_mm=repeat.sd_mm * repeat_mm / repeat.length_mm,
        geared=repeat.geared,
        turns_per_plate_turn=plate_mm / repeat_mm if runs else None,
        near_whole=near_whole(repeat_mm, plate_mm, within_turn=within_turn) if runs else None,
    )


def nearly_equal_forms(unit: Unit, *, within: float = NEARLY_EQUAL) -> tuple[NearlyEqual, ...]:
    """Pairs of form rollers whose repeats differ by less than ``within`` of the larger, in plate order."""
    repeats = [repeat_of(unit, form.id) for form in form_rollers(unit)]
    pairs = []
    for a, b in combinations(repeats, 2):
        difference_mm = b.length_mm - a.length_mm
        part = abs(difference_mm) / max(a.length_mm, b.length_mm)
        if part <= within:
            pairs.append(NearlyEqual(a=a.member, b=b.member, difference_mm=difference_mm, difference=part))
    return tuple(pairs)


def ink_area(press: Press, unit: Unit) -> InkArea:
    """Surface of the ink rollers of one unit, and how it stands to the plate's."""
    plate = unit.cylinders.plate
    inked_mm = plate.circumference_mm - plate.gap_mm
    rollers = [roller for roller in unit.rollers if carries(roller, System.INK)]
    return InkArea(
        all_m2=math.fsum(surface_m2(roller) for roller in rollers),
        carrying_m2=math.fsum(surface_m2(roller) for roller in rollers if roller.role not in OUTSIDE_TRAIN),
        plate_m2=inked_mm * press.face_mm / 1e6,
    )
