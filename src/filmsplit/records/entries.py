"""Readings and events: put on record, corrected by later ones, and read back for a roller or a unit."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
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


MOST_IDS = 500

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


def strike(writer: Writer, number: int, *, reason: str, day: date, person: str = "") -> None:
    """Strike an entry out by a later one that says why and who. It stays in the records, and counts no longer."""
    kind = sa.select(entries.c.kind).where(entries.c.id == number).scalar_subquery()
    row = {"run_id": writer.run_id, "kind": kind, "day": day.isoformat(), "remarks": reason, "person": person}
    writer.connection.execute(sa.insert(entries).values(row | {"replaces_id": number, "strikes": 1}))


def kind_and_standing(connection: sa.Connection, number: int) -> tuple[str, bool] | None:
    """The kind of an entry and whether it counts; ``None`` if there is none of that number."""
    query = sa.select(entries.c.kind, standing(entries)).where(entries.c.id == number)
    found = connection.execute(query).first()
    return None if found is None else (found[0], bool(found[1]))


def entries_of_roller(
    connection: sa.Connection, roller_id: int, *, kinds: Sequence[str] = (), most: int | None = None
) -> tuple[Entry, ...]:
    """What was read on a roller and done to it, stripes against its partners too, the oldest first.

    With ``most`` only that many of the newest.
    """
    rows = [row for own in _own(roller_id) for row in _rows(connection, _wanted(own, kinds), most=most)]
    rows.sort(key=lambda row: (row["day"], row["id"]))
    return _entries(connection, rows if most is None else rows[-most:])


def counts_of_roller(connection: sa.Connection, roller_id: int) -> dict[str, int]:
    """How many entries of each kind a roller has."""
    counts: Counter[str] = Counter()
    for own in _own(roller_id):
        query = sa.select(entries.c.kind, sa.func.count()).where(_wanted(own)).group_by(entries.c.kind)
        counts.update({row[0]: row[1] for row in connection.execute(query)})
    return dict(sorted(counts.items()))


def entries_of_press(
    connection: sa.Connection, press: str, *, unit: str = "", kinds: Sequence[str] = ()
) -> tuple[Entry, ...]:
    """What was read on a press (or one unit of it) and done to it, the oldest first."""
    condition = entries.c.press == press
    condition = sa.and_(condition, entries.c.unit == unit) if unit else condition
    return _entries(connection, _rows(connection, _wanted(condition, kinds)))


def all_entries(connection: sa.Connection, *, kinds: Sequence[str] = ()) -> tuple[Entry, ...]:
    """Everything that counts, the oldest first."""
    return _entries(connection, _rows(connection, _wanted(sa.true(), kinds)))


def entries_of_run(connection: sa.Connection, run_id: int) -> tuple[Entry, ...]:
    """What one run put on record, whether it still counts or not, in the order written."""
    return tuple(
        sorted(_entries(connection, _rows(connection, entries.c.run_id == run_id)), key=lambda each: each.number)
    )


def entries_numbered(connection: sa.Connection, numbers: Sequence[int]) -> dict[int, Entry]:
    """The entries of those numbers, whether they count or not."""
    found = (
        each
        for own in _portions(list(numbers))
        for each in _entries(connection, _rows(connection, entries.c.id.in_(own)))
    )
    return {each.number: each for each in found}


def all_ever(connection: sa.Connection) -> tuple[Entry, ...]:
    """Everything, also what was corrected or struck out, and what struck it out."""
    return _entries(connection, _rows(connection, sa.true()))


def _own(roller_id: int) -> tuple[sa.ColumnElement[bool], sa.ColumnElement[bool]]:
    """As the first roller and as the partner: each by an index of its own, which one question for both could not be."""
    return entries.c.roller_id == roller_id, entries.c.partner_id == roller_id


def _wanted(condition: sa.ColumnElement[bool], kinds: Sequence[str] = ()) -> sa.ColumnElement[bool]:
    counting = sa.and_(condition, standing(entries))
    return sa.and_(counting, entries.c.kind.in_(kinds)) if kinds else counting


def _rows(connection: sa.Connection, wanted: sa.ColumnElement[bool], *, most: int | None = None) -> list[sa.RowMapping]:
    """The rows of entries, the oldest first; with ``most`` only that many of the newest."""
    newest_first = sa.select(entries).where(wanted).order_by(entries.c.day.desc(), entries.c.id.desc()).limit(most)
    return list(reversed(connection.execute(newest_first).mappings().all()))


def _entries(connection: sa.Connection, rows: Sequence[sa.RowMapping]) -> tuple[Entry, ...]:
    """Rows with their points, fetched for many entries at a time."""
    found: dict[int, list[Point]] = defaultdict(list)
    quantities = {row["id"]: KINDS[row["kind"]].quantity for row in rows}
    for ids in _portions(list(quantities)):
        own = sa.select(points).where(points.c.entry_id.in_(ids)).order_by(points.c.entry_id, points.c.number)
        for row in connection.execute(own).mappings():
            value = float(row[quantities[row["entry_id"]]])
            found[row["entry_id"]].append(Point(value=value, place=row["place"], angle_deg=row["angle_deg"]))
    return tuple(_entry(row, tuple(found[row["id"]])) for row in rows)


def _portions(ids: list[int]) -> Iterator[list[int]]:
    """A statement takes no more values than some thousands."""
    for begin in range(0, len(ids), MOST_IDS):
        yield ids[begin : begin + MOST_IDS]


def _entry(row: sa.RowMapping, own: tuple[Point, ...]) -> Entry:
    return Entry(
        day=date.fromisoformat(row["day"]),
        reliable=bool(row["reliable"]),
        arrival=bool(row["arrival"]),
        points=own,
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
