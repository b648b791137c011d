"""A general procedure made that of one unit: its own rollers by name, steps for other kinds of dampening left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from filmsplit.messages import label
from filmsplit.press import Unit
from filmsplit.press.dampening import Continuity, WaterSupply, dampening_of
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.words import MotionKind, System
from filmsplit.procedures.procedure import Procedure, Step
from filmsplit.procedures.words import When

BLANKS = ("ink_forms", "damp_forms", "ink_ductor", "bridges")
"""Blanks that a step's text may have, in braces; each is filled with the names of this unit's rollers."""


def fitted(procedure: Procedure, unit: Unit) -> Procedure:
    """The procedure for ``unit``: only the steps that it has parts for, with their names filled in."""
    kinds, names = kinds_of(unit), names_of(unit)
    steps = tuple(_named(step, names) for step in procedure.steps if step.when in kinds)
    return replace(procedure, steps=steps)


def kinds_of(unit: Unit) -> frozenset[When]:
    """Which conditional steps concern a unit."""
    damp = dampening_of(unit)
    supplies = {way.supply for way in damp.ways}
    true = {
        When.ALWAYS: True,
        When.DUCTED_WATER: damp.continuity is Continuity.INTERMITTENT,
        When.CONTINUOUS_WATER: damp.continuity is Continuity.CONTINUOUS,
        When.OWN_WATER_FORMS: any(way.own_forms for way in damp.ways),
        When.INTEGRATED_WATER: WaterSupply.INTEGRATED in supplies,
        When.NO_WATER: supplies == {WaterSupply.NONE},
        When.DUCTED_INK: bool(_ink_ductors(unit)),
        When.BRIDGE: damp.switchable,
    }
    return frozenset(when for when, holds in true.items() if holds)


def names_of(unit: Unit) -> Mapping[str, str]:
    """What fills the blanks."""
    forms = form_rollers(unit)
    ink = [form.id for form in forms if form.system is not System.DAMPENING]
    damp = [form.id for form in forms if form.system is System.DAMPENING]
    filled = (ink, damp, _ink_ductors(unit), list(dampening_of(unit).bridges))
    return {blank: ", ".join(ids) or label("procedure.none") for blank, ids in zip(BLANKS, filled, strict=True)}


def _ink_ductors(unit: Unit) -> list[str]:
    return [
        roller.id
        for roller in unit.rollers
        if roller.motion.kind is MotionKind.DUCTS and roller.system is not System.DAMPENING
    ]


def _named(step: Step, names: Mapping[str, str]) -> Step:
    def fill(text: str) -> str:
        for blank in BLANKS:
            text = text.replace("{" + blank + "}", names[blank])
        return text

    return replace(step, do=fill(step.do), look_for=fill(step.look_for), caution=fill(step.caution))
