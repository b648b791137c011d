"""The gate before steps at the press: a named, signed-off person states what they checked. No override exists.

This program cannot see the press. What is stated is recorded; it makes nothing safe. A statement counts only until
rollers run or are inched, and only on the day it was made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from filmsplit.messages import Problem, Refusal
from filmsplit.procedures.procedure import Procedure, Step
from filmsplit.procedures.words import PressState


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What a person states before steps at the press, for one spell. Nothing is ticked until the person ticks it."""

    person: str = ""
    signed_off: bool = False
    isolated_and_locked: bool = False
    start_tried: bool = False
    guards_and_stops_tested: bool = False
    made_on: date | None = None
    spell: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What must be there besides. ``None`` means nobody has said, and counts as missing."""

    guards_in_place: bool | None = None
    lock_at_hand: bool | None = None
    data_sheet_at_hand: bool | None = None
    gloves_in_stock: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """Steps done in one press state, with the step that leaves it. ``spell`` counts how often rollers moved or stopped.

    A statement counts for its spell only: it expires with every run and every inching.
    """

    spell: int
    steps: tuple[Step, ...]

    @property
    def state(self) -> PressState:
        return self.steps[0].state

    @property
    def at_press(self) -> bool:
        return self.state.at_press

    @property
    def hands_in(self) -> bool:
        """Whether somebody may reach into the press: then it must be isolated and locked."""
        return self.state is PressState.ISOLATED

    @property
    def chemistry(self) -> bool:
        return any(step.chemistry for step in self.steps)

    @property
    def gated(self) -> bool:
        """Whether the steps stay hidden until somebody has answered for them."""
        return self.at_press or self.chemistry


def passages_of(procedure: Procedure) -> tuple[Passage, ...]:
    """The procedure cut after every change of press state."""
    passages, steps, spell = list[Passage](), list[Step](), 1
    for step in procedure.steps:
        steps.append(step)
        if step.ends_in is not step.state:
            passages.append(Passage(spell=spell, steps=tuple(steps)))
            spell += step.state.moves or step.ends_in.moves
            steps = []
    if steps:
        passages.append(Passage(spell=spell, steps=tuple(steps)))
    return tuple(passages)


def open_gate(passage: Passage, statement: Statement, *, facts: Facts, today: date) -> tuple[Step, ...]:
    """The steps of a passage, for this person today; :class:`Refusal` with every reason if the gate stays shut."""
    if not passage.gated:
        return passage.steps
    reasons = tuple(_reasons(passage, statement, facts=facts, today=today))
    if reasons:
        raise Refusal(reasons)
    return passage.steps


def _reasons(passage: Passage, statement: Statement, *, facts: Facts, today: date) -> Iterator[Problem]:
    if passage.at_press:
        yield from _about_the_person(passage, statement, today=today)
        if not facts.guards_in_place:
            yield Problem("gate-guards-missing", {})
        if not statement.guards_and_stops_tested:
            yield Problem("gate-guards-not-tested", {})
    if passage.hands_in:
        if not facts.lock_at_hand:
            yield Problem("gate-no-lock", {})
        if not statement.isolated_and_locked:
            yield Problem("gate-not-isolated", {})
        if not statement.start_tried:
            yield Problem("gate-start-not-tried", {})
    if passage.chemistry and not facts.data_sheet_at_hand:
        yield Problem("gate-no-data-sheet", {})
    if passage.chemistry and not facts.gloves_in_stock:
        yield Problem("gate-no-gloves", {})


def _about_the_person(passage: Passage, statement: Statement, *, today: date) -> Iterator[Problem]:
    if not statement.person.strip():
        yield Problem("gate-no-name", {})
    if not statement.signed_off:
        yield Problem("gate-not-signed-off", {"person": statement.person.strip() or "?"})
    if statement.made_on != today:
        yield Problem("gate-not-today", {})
    elif statement.spell != passage.spell:
        yield Problem("gate-expired", {})
