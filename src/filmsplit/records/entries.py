"""Readings and events: put on record, corrected by later ones, and read back for a roller or a unit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

import sqlalchemy as sa

from filmsplit.records.corrections import standing
from filmsplit.records.kinds import KINDS
from filmsplit.records.roller_tables import entries, points
from filmsplit.records.store import Writer


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One value as read, in the unit of its entry's kind."""

    value: float
    place: str = ""
    angle_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One reading, or one thing done. Rollers and instruments by the numbers of their rows; ``number`` is its own."""

    kind: str
    day: date
    roller_id: int | None = None
    partner_id: int | None = None
    press: str = ""
    unit: str = ""
    contact: str = ""
    person: str = ""
    instrument_id: int | None = None
    temperature_c: float | None = None
    reliable: bool = True
    arrival: bool = False
    grade: str = ""
    product: str = ""
    impressions: int | None = None
    remarks: str = ""
    points: tuple[Point, ...] = ()
    number: int = field(default=0, compare=False)

    @property
    def values(self) -> tuple[float, ...]:
        """The values in the order read."""
        return tuple(point.value for point in self.points)


_PLAIN = (
    "kind",
    "roller_id",
    "partner_id",
    "press",
    "unit",
    "contact",
    "person",
    "instrument_id",
    "temperature_c",
    "grade",
    "product",
    "impressions",
    "remarks",
)


def log_entry(writer: Writer, entry: Entry, *, instead_of: int | None = None) -> int:
    """Put an entry on record; its number. ``instead_of``: the number of an entry that was wrong."""
    row = {name: getattr(entry, name) for name in _PLAIN}
    row |= {"run_id": writer.run_id, "day": entry.day.isoformat(), "replaces_id": instead_of}
    row |= {"reliable": int(entry.reliable), "arrival": int(entry.arrival)}
    made = writer.connection.execute(sa.insert(entries).values(row)).inserted_primary_key
    assert made is not None
    if entry.points:
        rows = [
            _point_row(entry, number) | {"run_id": writer.run_id, "entry_id": made[0]}
            for number in range(len(entry.points))
        ]
        writer.connection.execute(sa.insert(points), rows)
    return int(made[0])


def strike(writer: Writer, number: int, *, reason: str, day: date) -> None:
    """Strike an entry out by a later one that says why. It stays in the records, and counts no longer."""
    kind = sa.select(entries.c.kind).where(entries.c.id == number).scalar_subquery()
    row = {"run_id": writer.run_id, "kind": kind, "day": day.isoformat(), "remarks": reason}
    writer.connection.execute(sa.insert(entries).values(row | {"replaces_id": number, "strikes": 1}))


def kind_and_standing(connection: sa.Connection, number: int) -> tuple[str, bool] | None:
    """The kind of an entry and whether it counts; ``None`` if there is none of that number."""
    query = sa.select(entries.c.kind, standing(entries)).where(entries.c.id == number)
    found = connection.execute(query).first()
    return None if found is None else (found[0], bool(found[1]))


def entries_of_roller(connection: sa.Connection, roller_id: int, *, kinds: Sequence[str] = ()) -> tuple[Entry, ...]:
    """What was read on a roller and done to it, stripes against its partners too, the oldest first."""
    own = sa.or_(entries.c.roller_id == roller_id, entries.c.partner_id == roller_id)
    return _entries(connection, own, kinds=kinds)


def entries_of_press(
    connection: sa.Connection, press: str, *, unit: str = "", kinds: Sequence[str] = ()
) -> tuple[Entry, ...]:
    """What was read on a press (or one unit of it) and done to it, the oldest first."""
    condition = entries.c.press == press
    return _entries(connection, sa.and_(condition, entries.c.unit == unit) if unit else condition, kinds=kinds)


def all_entries(connection: sa.Connection, *, kinds: Sequence[str] = ()) -> tuple[Entry, ...]:
    """Everything that counts, the oldest first."""
    return _entries(connection, sa.true(), kinds=kinds)


def all_ever(connection: sa.Connection) -> tuple[Entry, ...]:
    """Everything, also what was corrected or struck out, and what struck it out."""
    return _read(connection, sa.true())


def _entries(
    connection: sa.Connection, condition: sa.ColumnElement[bool], *, kinds: Sequence[str]
) -> tuple[Entry, ...]:
    wanted = sa.and_(condition, standing(entries))
    return _read(connection, sa.and_(wanted, entries.c.kind.in_(kinds)) if kinds else wanted)


def _read(connection: sa.Connection, wanted: sa.ColumnElement[bool]) -> tuple[Entry, ...]:
    """Two queries whatever their number: the entries, then the points of all of them."""
    rows = connection.execute(sa.select(entries).where(wanted).order_by(entries.c.day, entries.c.id)).mappings().all()
    ids = sa.select(entries.c.id).where(wanted)
    own = sa.select(points).where(points.c.entry_id.in_(ids)).order_by(points.c.entry_id, points.c.number)
    found: dict[int, list[sa.RowMapping]] = defaultdict(list)
    for point in connection.execute(own).mappings():
        found[point["entry_id"]].append(point)
    return tuple(_entry(row, found[row["id"]]) for row in rows)


def _entry(row: sa.RowMapping, own: list[sa.RowMapping]) -> Entry:
    quantity = KINDS[row["kind"]].quantity
    return Entry(
        day=date.fromisoformat(row["day"]),
        reliable=bool(row["reliable"]),
        arrival=bool(row["arrival"]),
        points=tuple(
            Point(value=float(point[quantity]), place=point["place"], angle_deg=point["angle_deg"]) for point in own
        ),
        number=row["id"],
        **{name: row[name] for name in _PLAIN},
    )


def _point_row(entry: Entry, number: int) -> dict[str, object]:
    point = entry.points[number]
    return {
        "number": number + 1,
        "place": point.place,
        "angle_deg": point.angle_deg,
        KINDS[entry.kind].quantity: point.value,
    }
