"""Where each roller is and was: on a press, on the shelf, sent out, retired."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import Enum

import sqlalchemy as sa

from filmsplit.records.corrections import standing
from filmsplit.records.roller_tables import positions
from filmsplit.records.store import Writer


class Whereabouts(Enum):
    """The kinds of place a roller can be at."""

    PRESS = "press"
    SHELF = "shelf"
    SENT_OUT = "sent out"
    RETIRED = "retired"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class PressPlace:
    """A roller's place on a press: ``place`` is the id that the press file gives the roller there."""

    press: str
    unit: str
    place: str

    def __str__(self) -> str:
        return f"{self.press}:{self.unit}.{self.place}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """Where a roller is from ``day`` on. ``at`` is its place while it is on a press; ``number`` is its row."""

    day: date
    whereabouts: Whereabouts
    at: PressPlace | None = None
    note: str = ""
    number: int = field(default=0, compare=False)


def move(writer: Writer, roller_id: int, position: Position) -> None:
    """Put on record where a roller goes."""
    at = position.at
    row = {
        "run_id": writer.run_id,
        "roller_id": roller_id,
        "day": position.day.isoformat(),
        "whereabouts": position.whereabouts.value,
        "press": at.press if at else "",
        "unit": at.unit if at else "",
        "place": at.place if at else "",
        "note": position.note,
    }
    writer.connection.execute(sa.insert(positions).values(row))


def moved_together(connection: sa.Connection, number: int) -> dict[int, int]:
    """The rollers that one run moved along with position ``number``, and the rows that did it; a swap has two."""
    run = sa.select(positions.c.run_id).where(positions.c.id == number).scalar_subquery()
    query = sa.select(positions.c.roller_id, positions.c.id).where(positions.c.run_id == run, standing(positions))
    return {row.roller_id: row.id for row in connection.execute(query)}


def roller_moved(connection: sa.Connection, number: int) -> int | None:
    """The roller whose move has that number and counts; ``None`` if there is none."""
    query = sa.select(positions.c.roller_id).where(positions.c.id == number, standing(positions))
    return connection.execute(query).scalar()


def strike_position(writer: Writer, roller_id: int, number: int, *, day: date, reason: str) -> None:
    """Strike a position out by a later row that says why: the roller is where it was before."""
    row = {"run_id": writer.run_id, "roller_id": roller_id, "day": day.isoformat(), "whereabouts": "", "note": reason}
    writer.connection.execute(sa.insert(positions).values(row | {"replaces_id": number, "strikes": 1}))


def history(connection: sa.Connection, roller_id: int) -> tuple[Position, ...]:
    """Where a roller was, the oldest first. What was corrected is left out."""
    query = (
        sa.select(positions)
        .where(positions.c.roller_id == roller_id, standing(positions))
        .order_by(positions.c.day, positions.c.id)
    )
    return tuple(_position(row) for row in connection.execute(query).mappings())


def positions_on(connection: sa.Connection, day: date) -> dict[int, Position]:
    """Where every roller is on a day, by the number of its row. A roller nobody placed until then is left out."""
    newest = sa.func.row_number().over(
        partition_by=positions.c.roller_id, order_by=(positions.c.day.desc(), positions.c.id.desc())
    )
    latest = (
        sa.select(positions, newest.label(name="age"))
        .where(standing(positions), positions.c.day <= day.isoformat())
        .subquery()
    )
    rows = connection.execute(sa.select(latest).where(latest.c.age == 1)).mappings()
    return {row["roller_id"]: _position(row) for row in rows}


def fitted(connection: sa.Connection, day: date) -> dict[PressPlace, int]:
    """The roller fitted at each place of each press on a day."""
    return {found.at: roller for roller, found in positions_on(connection, day).items() if found.at is not None}


def _position(row: sa.RowMapping) -> Position:
    whereabouts = Whereabouts(row["whereabouts"])
    at = PressPlace(press=row["press"], unit=row["unit"], place=row["place"])
    return Position(
        day=date.fromisoformat(row["day"]),
        whereabouts=whereabouts,
        at=at if whereabouts is Whereabouts.PRESS else None,
        note=row["note"],
        number=row["id"],
    )
