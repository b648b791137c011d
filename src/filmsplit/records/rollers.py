"""The register of rollers: which there are, what is known about each, found by mark or code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date
from typing import Any

import sqlalchemy as sa

from filmsplit.records.codes import new_code, read_code
from filmsplit.records.roller_facts import RollerFacts, fact_types
from filmsplit.records.roller_tables import roller_facts, rollers
from filmsplit.records.store import Writer
from filmsplit.records.struck import facts_count


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisteredRoller:
    """A roller of the register. ``mark`` is what is stamped at its journal; ``id`` is its row."""

    id: int
    code: str
    mark: str
    facts: RollerFacts
    invented: bool = False


def add_roller(writer: Writer, mark: str, facts: RollerFacts, *, since: date, invented: bool = False) -> int:
    """Put a roller on the register; the number of its row. The mark must be new."""
    row = sa.insert(rollers).values(run_id=writer.run_id, code=new_code(), mark=mark, invented=int(invented))
    made = writer.connection.execute(row).inserted_primary_key
    assert made is not None
    roller_id: int = made[0]
    state_facts(writer, roller_id, facts, since=since)
    return roller_id


def state_facts(writer: Writer, roller_id: int, facts: RollerFacts, *, since: date) -> None:
    """State everything known about a roller from a day on. What was stated before stays on record."""
    plain = {name: _stored(value) for name, value in asdict(facts).items()}
    row = {"run_id": writer.run_id, "roller_id": roller_id, "since": since.isoformat()}
    writer.connection.execute(sa.insert(roller_facts).values(row | plain))


def roller_meant(connection: sa.Connection, text: str) -> RegisteredRoller | None:
    """The roller with a mark or a code, or ``None``. Marks are compared without regard to case."""
    condition = sa.func.lower(rollers.c.mark) == text.strip().lower()
    code = read_code(text)
    found = _rollers(connection, condition if code is None else sa.or_(condition, rollers.c.code == code))
    return found[0] if found else None


def roller_of(connection: sa.Connection, id: int) -> RegisteredRoller:
    """The roller of a row; ``KeyError`` if there is none."""
    found = _rollers(connection, rollers.c.id == id)
    if not found:
        raise KeyError(id)
    return found[0]


def all_rollers(connection: sa.Connection) -> tuple[RegisteredRoller, ...]:
    """The whole register, by mark."""
    return _rollers(connection, sa.true())


def marks(connection: sa.Connection) -> dict[int, str]:
    """The mark of every roller, by the number of its row."""
    return {row.id: row.mark for row in connection.execute(sa.select(rollers.c.id, rollers.c.mark))}


def facts_on(connection: sa.Connection, roller_id: int, day: date) -> RollerFacts | None:
    """What was known to hold for a roller on a day; ``None`` before anything was stated."""
    query = (
        sa.select(roller_facts)
        .where(roller_facts.c.roller_id == roller_id, roller_facts.c.since <= day.isoformat(), facts_count())
        .order_by(roller_facts.c.since.desc(), roller_facts.c.id.desc())
        .limit(1)
    )
    row = connection.execute(query).mappings().first()
    return None if row is None else _facts(row)


def _rollers(connection: sa.Connection, condition: sa.ColumnElement[bool]) -> tuple[RegisteredRoller, ...]:
    """Rollers with their facts in force, in one query."""
    newest = sa.func.row_number().over(
        partition_by=roller_facts.c.roller_id, order_by=(roller_facts.c.since.desc(), roller_facts.c.id.desc())
    )
    wanted = sa.select(rollers.c.id).where(condition)
    stated = sa.and_(roller_facts.c.roller_id.in_(wanted), facts_count())
    latest = sa.select(roller_facts, newest.label(name="age")).where(stated).subquery()
    query = (
        sa.select(rollers.c.id, rollers.c.code, rollers.c.mark, rollers.c.invented, *_fact_columns(latest))
        .join(latest, latest.c.roller_id == rollers.c.id)
        .where(latest.c.age == 1)
        .order_by(rollers.c.mark)
    )
    rows: Sequence[sa.RowMapping] = connection.execute(query).mappings().all()
    return tuple(
        RegisteredRoller(
            id=row["id"], code=row["code"], mark=row["mark"], invented=bool(row["invented"]), facts=_facts(row)
        )
        for row in rows
    )


def _fact_columns(latest: sa.Subquery) -> list[sa.ColumnElement[Any]]:
    return [latest.c[each.name] for each in fields(RollerFacts)]


def _facts(row: sa.RowMapping) -> RollerFacts:
    known = {name: _read(row[name], kind) for name, kind in fact_types().items()}
    return RollerFacts(**known)


def _read(value: Any, kind: type) -> Any:
    return date.fromisoformat(value) if kind is date and value is not None else value


def _stored(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value
