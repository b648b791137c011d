"""How fast every member of a train turns beside the plate, and when its ductors touch what they feed from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from filmsplit.figures.map_layers import Spin
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.facts import facts_of
from filmsplit.press.words import MotionKind, Role
from filmsplit.studies.film_setting import middling_sweep_mm

_SOURCES = (Role.FOUNTAIN, Role.PAN)


def spins_of(press: Press, unit: Unit) -> Mapping[str, Spin]:
    """By member; one whose speed nothing tells is left out. An inked fountain moves by the middle of its sweep."""
    steady = {each.id: each.turns_per_plate_turn for each in facts_of(press).unit(unit.id).rollers}
    plate_mm = unit.cylinders.plate.circumference_mm
    spins = {"plate": Spin(turns=1.0), "blanket": Spin(turns=plate_mm / unit.cylinders.blanket.circumference_mm)}
    spins |= {id: Spin(turns=turns) for id, turns in steady.items() if turns is not None}
    for roller in unit.rollers:
        if roller.motion.kind is MotionKind.DUCTS:
            spins |= _ducting(unit, roller, steady=steady)
    return spins


def _ducting(unit: Unit, ductor: Roller, *, steady: Mapping[str, float | None]) -> dict[str, Spin]:
    """The ductor, and the roller it feeds from where that one moves with it."""
    source = _source(unit, ductor)
    plate_mm = unit.cylinders.plate.circumference_mm
    cycle_mm = ductor.motion.cycle_rev * plate_mm
    cycle = Spin(
        turns=0.0,
        cycle_rev=ductor.motion.cycle_rev,
        feed_part=min(ductor.motion.dwell_feed_mm / cycle_mm, 1.0),
        train_part=min(ductor.motion.dwell_train_mm / cycle_mm, 1.0),
    )
    fed_mm, spins = _fed_mm(unit, ductor, source=source, steady=steady), dict[str, Spin]()
    if source is not None and steady[source.id] is None and fed_mm:
        spins[source.id] = replace(cycle, feed_turns=fed_mm / source.circumference_mm)
    spins[ductor.id] = replace(
        cycle,
        turns=plate_mm / ductor.circumference_mm,
        feed_turns=fed_mm / ductor.circumference_mm,
        feed="" if source is None else source.id,
    )
    return spins


def _source(unit: Unit, ductor: Roller) -> Roller | None:
    partners = {each.other(ductor.id) for each in unit.contacts_of(ductor.id)}
    return next((each for each in unit.rollers if each.id in partners and each.role in _SOURCES), None)


def _fed_mm(unit: Unit, ductor: Roller, *, source: Roller | None, steady: Mapping[str, float | None]) -> float:
    """Surface that passes between a ductor and what it feeds from in one cycle; 0 where nothing tells it."""
    if source is None:
        return 0.0
    turns = steady[source.id]
    if turns is not None:
        speed = turns * source.circumference_mm / unit.cylinders.plate.circumference_mm
        return speed * ductor.motion.dwell_feed_mm
    is_inked = unit.fountain is not None and unit.fountain.roller == source.id
    return middling_sweep_mm(unit) if is_inked else 0.0
