"""Rounds on record: begun, gone on with, ended. A round is what happened in it, in order; nothing of it is changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import Enum

import sqlalchemy as sa

from filmsplit.records.roller_tables import entries
from filmsplit.records.round_tables import round_steps, rounds
from filmsplit.records.solution_tables import solution_samples
from filmsplit.records.store import Writer
from filmsplit.records.tables import runs


class Happened(Enum):
    """What can happen in a round."""

    GATE = "gate"
    MOVED = "moved"
    READ = "read"
    LEFT_OUT = "left-out"
    ENDED = "ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundStep:
    """One thing that happened, with the moment it was put on record. ``None``: nobody said."""

    what: Happened
    day: date
    person: str = ""
    contact: str = ""
    entry_id: int | None = None
    instrument_id: int | None = None
    temperature_c: float | None = None
    at: datetime | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A round at one unit of a press, with what happened in it so far."""

    day: date
    press: str
    unit: str
    steps: tuple[RoundStep, ...] = ()
    number: int = 0

    @property
    def ended(self) -> bool:
        return any(each.what is Happened.ENDED for each in self.steps)


def begin_round(writer: Writer, begun: Round) -> int:
    """Put a round on record; its number."""
    row = {"run_id": writer.run_id, "day": begun.day.isoformat(), "press": begun.press, "unit": begun.unit}
    made = writer.connection.execute(sa.insert(rounds).values(row)).inserted_primary_key
    assert made is not None
    return int(made[0])


def add_step(writer: Writer, number: int, step: RoundStep) -> None:
    """Put on record what happened in a round."""
    row = {name: getattr(step, name) for name in ("person", "contact", "entry_id", "instrument_id", "temperature_c")}
    row |= {"run_id": writer.run_id, "round_id": number, "day": step.day.isoformat(), "what": step.what.value}
    writer.connection.execute(sa.insert(round_steps).values(row))


def round_numbered(connection: sa.Connection, number: int) -> Round | None:
    """The round of that number; ``None`` if there is none."""
    return next(_rounds(connection, rounds.c.id == number), None)


def round_of_run(connection: sa.Connection, run_id: int) -> Round | None:
    """The round that a run began."""
    return next(_rounds(connection, rounds.c.run_id == run_id), None)


def newest_rounds(connection: sa.Connection, *, most: int) -> tuple[Round, ...]:
    """The last rounds that were begun, the newest first."""
    return tuple(_rounds(connection, sa.true(), most=most))


def _rounds(connection: sa.Connection, wanted: sa.ColumnElement[bool], *, most: int | None = None) -> Iterator[Round]:
    query = sa.select(rounds).where(wanted).order_by(rounds.c.id.desc()).limit(most)
    for row in connection.execute(query).mappings().all():
        yield Round(
            number=row["id"],
            day=date.fromisoformat(row["day"]),
            press=row["press"],
            unit=row["unit"],
            steps=tuple(_steps(connection, row["id"])),
        )


def _steps(connection: sa.Connection, number: int) -> Iterator[RoundStep]:
    query = (
        sa.select(round_steps, runs.c.began_at)
        .join(runs, runs.c.id == round_steps.c.run_id)
        .where(round_steps.c.round_id == number)
        .order_by(round_steps.c.id)
    )
    for row in connection.execute(query).mappings():
        yield RoundStep(
            what=Happened(row["what"]),
            day=date.fromisoformat(row["day"]),
            at=datetime.fromisoformat(row["began_at"]),
            **{name: row[name] for name in ("person", "contact", "entry_id", "instrument_id", "temperature_c")},
        )


def names_on_record(connection: sa.Connection, *, most: int) -> tuple[str, ...]:
    """Who read or sampled something or stood at a gate, the last one first."""
    newest: dict[str, str] = {}
    for table in (entries, round_steps, solution_samples):
        written = sa.func.max(runs.c.began_at)
        query = sa.select(table.c.person, written).join(runs, runs.c.id == table.c.run_id).where(table.c.person != "")
        for name, at in connection.execute(query.group_by(table.c.person).order_by(written.desc()).limit(most)):
            newest[name] = max(at, newest.get(name, ""))
    return tuple(sorted(newest, key=lambda name: newest[name], reverse=True)[:most])
