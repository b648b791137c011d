"""What the API says of rollers, what was read on them, what is due and what to order. Units stand in the names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from typing import Literal

from filmsplit.actions.register import RollerPage, Standing
from filmsplit.condition.due import DueTask
from filmsplit.condition.orders import Order
from filmsplit.condition.readings import RollerDrawing
from filmsplit.condition.verdict import RollerVerdict
from filmsplit.condition.words import EventKind
from filmsplit.records.entries import Entry
from filmsplit.records.hardness import Hardness
from filmsplit.records.kinds import KINDS
from filmsplit.records.positions import Position
from filmsplit.records.roller_facts import RollerFacts
from filmsplit.web.api.answering import ProblemSaid, said
from filmsplit.web.api.said_press import VerdictSaid, verdict_said


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisteredSaid:
    """A roller of the register and where it is (``null``: nobody has said)."""

    mark: str
    code: str
    invented: bool
    position: Position | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollersAnswer:
    """Rollers of the register."""

    filmsplit: Literal["rollers 1"] = "rollers 1"
    rollers: tuple[RegisteredSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntrySaid:
    """One reading, or one thing done. ``values`` in ``unit_of_values``; ``along`` names the place of each."""

    number: int
    kind: str
    day: date
    roller: str | None
    partner: str | None
    press: str
    unit: str
    contact: str
    values: tuple[float, ...]
    unit_of_values: str
    along: tuple[str, ...]
    temperature_c: float | None
    person: str
    reliable: bool
    arrival: bool
    grade: str
    product: str
    impressions: int | None
    remarks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerAnswer:
    """A roller: facts, all its places and the newest of its entries, the oldest first. ``counts``: entries by kind."""

    filmsplit: Literal["roller 1"] = "roller 1"
    mark: str
    code: str
    invented: bool
    facts: RollerFacts
    places: tuple[Position, ...]
    entries: tuple[EntrySaid, ...]
    counts: dict[str, int]
    verdict: VerdictSaid | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderAnswer:
    """An order for a roller: ``missing`` is what a supplier will ask for; with problems it is not to be sent."""

    filmsplit: Literal["roller-order 2"] = "roller-order 2"
    roller: str
    role: str | None
    drawing: RollerDrawing
    missing: tuple[str, ...]
    problems: tuple[ProblemSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedSaid:
    """An entry on record, what was noticed about it, and what a hardness reading says."""

    entry: EntrySaid
    notices: tuple[ProblemSaid, ...]
    hardness: Hardness | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedAnswer:
    """What is on record now: all that was sent, in its order."""

    filmsplit: Literal["recorded 1"] = "recorded 1"
    recorded: tuple[RecordedSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntriesAnswer:
    """Entries that count, the oldest first."""

    filmsplit: Literal["readings 2"] = "readings 2"
    entries: tuple[EntrySaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StruckAnswer:
    """The entry of this number counts no longer; it stays on record."""

    filmsplit: Literal["struck 1"] = "struck 1"
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DueSaid:
    """A task: ``on`` is the day it is due, ``null`` where it was never done. ``rollers`` wait longest for it."""

    task: EventKind
    last: date | None
    on: date | None
    clock: Literal["days", "impressions"]
    rollers: tuple[str, ...]
    impressions_left: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DueAnswer:
    """What is due on a press, what was never done first."""

    filmsplit: Literal["due 2"] = "due 2"
    press: str
    day: date
    tasks: tuple[DueSaid, ...]


def due_said(task: DueTask) -> DueSaid:
    """A task of the due board."""
    return DueSaid(
        task=task.task,
        last=task.last,
        on=task.on,
        clock="impressions" if task.clock == "impressions" else "days",
        rollers=task.rollers,
        impressions_left=task.impressions_left,
    )


def order_said(order: Order) -> OrderAnswer:
    """An order."""
    return OrderAnswer(
        roller=order.roller,
        role=None if order.role is None else order.role.value,
        drawing=order.drawing,
        missing=order.missing,
        problems=tuple(map(said, order.problems)),
    )


_AS_ON_RECORD = tuple(
    each.name for each in fields(EntrySaid) if each.name not in ("roller", "partner", "unit_of_values", "along")
)


def entry_said(entry: Entry, marks: Mapping[int, str]) -> EntrySaid:
    """An entry with its rollers by ``marks``."""
    return EntrySaid(
        roller=None if entry.roller_id is None else marks[entry.roller_id],
        partner=None if entry.partner_id is None else marks[entry.partner_id],
        unit_of_values=KINDS[entry.kind].unit,
        along=tuple(point.place for point in entry.points),
        **{name: getattr(entry, name) for name in _AS_ON_RECORD},
    )


def registered_said(standing: Standing) -> RegisteredSaid:
    """A roller of the register."""
    roller = standing.roller
    return RegisteredSaid(mark=roller.mark, code=roller.code, invented=roller.invented, position=standing.position)


def roller_answer(found: RollerPage, verdict: RollerVerdict | None) -> RollerAnswer:
    """A roller with the newest of its entries."""
    roller = found.roller
    return RollerAnswer(
        mark=roller.mark,
        code=roller.code,
        invented=roller.invented,
        facts=roller.facts,
        places=found.history,
        entries=tuple(entry_said(each, found.marks) for each in found.entries),
        counts=dict(found.counts),
        verdict=None if verdict is None else verdict_said(verdict),
    )
