"""What readings are taken with, and how far each instrument was off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import sqlalchemy as sa

from filmsplit.records.corrections import standing
from filmsplit.records.roller_tables import calibrations, instruments
from filmsplit.records.store import Writer

UNIT_OF_KIND: Mapping[str, str] = {
    "durometer": "Shore A",
    "micrometer": "mm",
    "tape": "mm",
    "dial": "mm",
    "rule": "mm",
    "thermometer": "°C",
    "picture": "mm",
}
"""The unit each kind of instrument reads in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A comparison of an instrument with something better. ``offset``: how much it reads too high; ``uncertainty``:
    one standard deviation; both in the unit of the instrument. ``due``: the day from which it counts no longer.
    """

    day: date
    offset: float
    uncertainty: float
    due: date | None = None
    against: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """An instrument, with its calibrations from the oldest on."""

    name: str
    kind: str
    remarks: str = ""
    calibrations: tuple[Calibration, ...] = ()
    id: int = field(default=0, compare=False)

    @property
    def unit(self) -> str:
        return UNIT_OF_KIND[self.kind]

    def calibration_on(self, day: date) -> Calibration | None:
        """The last calibration that is not after a day, whether or not it was overdue by then."""
        before = [each for each in self.calibrations if each.day <= day]
        return before[-1] if before else None


def add_instrument(writer: Writer, instrument: Instrument) -> int:
    """Put an instrument on record with its calibrations; the number of its row. The name must be new."""
    plain = {name: getattr(instrument, name) for name in ("name", "kind", "unit", "remarks")}
    made = writer.connection.execute(sa.insert(instruments).values(run_id=writer.run_id, **plain)).inserted_primary_key
    assert made is not None
    for each in instrument.calibrations:
        add_calibration(writer, made[0], each)
    return int(made[0])


def add_calibration(writer: Writer, instrument_id: int, calibration: Calibration) -> None:
    """Put a calibration on record."""
    row = {
        "run_id": writer.run_id,
        "instrument_id": instrument_id,
        "day": calibration.day.isoformat(),
        "offset": calibration.offset,
        "uncertainty": calibration.uncertainty,
        "due": calibration.due.isoformat() if calibration.due else None,
        "against": calibration.against,
    }
    writer.connection.execute(sa.insert(calibrations).values(row))


def strike_last_calibration(writer: Writer, instrument_id: int, *, day: date, reason: str) -> bool:
    """Strike the last calibration of an instrument out, by a later row that says why; whether there was one."""
    query = (
        sa.select(calibrations.c.id)
        .where(calibrations.c.instrument_id == instrument_id, standing(calibrations))
        .order_by(calibrations.c.day.desc(), calibrations.c.id.desc())
        .limit(1)
    )
    last = writer.connection.execute(query).scalar()
    if last is None:
        return False
    return strike_calibration(writer, last, day=day, reason=reason)


def strike_calibration(writer: Writer, number: int, *, day: date, reason: str) -> bool:
    """Strike a calibration out by the number of its row; whether there was one that counts."""
    query = sa.select(calibrations.c.instrument_id).where(calibrations.c.id == number, standing(calibrations))
    instrument_id = writer.connection.execute(query).scalar()
    if instrument_id is None:
        return False
    row = {"run_id": writer.run_id, "instrument_id": instrument_id, "day": day.isoformat(), "against": reason}
    row |= {"offset": 0.0, "uncertainty": 0.0, "replaces_id": number, "strikes": 1}
    writer.connection.execute(sa.insert(calibrations).values(row))
    return True


def all_instruments(connection: sa.Connection) -> tuple[Instrument, ...]:
    """Every instrument, by name."""
    rows = connection.execute(sa.select(instruments).order_by(instruments.c.name)).mappings().all()
    return tuple(_instrument(connection, row) for row in rows)


def instrument_named(connection: sa.Connection, name: str) -> Instrument | None:
    """The instrument with a name, without regard to case, or ``None``."""
    query = sa.select(instruments).where(sa.func.lower(instruments.c.name) == name.strip().lower())
    row = connection.execute(query).mappings().first()
    return None if row is None else _instrument(connection, row)


def _instrument(connection: sa.Connection, row: sa.RowMapping) -> Instrument:
    query = (
        sa.select(calibrations)
        .where(calibrations.c.instrument_id == row["id"], standing(calibrations))
        .order_by(calibrations.c.day, calibrations.c.id)
    )
    found = tuple(_calibration(each) for each in connection.execute(query).mappings())
    return Instrument(id=row["id"], name=row["name"], kind=row["kind"], remarks=row["remarks"], calibrations=found)


def _calibration(row: sa.RowMapping) -> Calibration:
    return Calibration(
        day=date.fromisoformat(row["day"]),
        offset=row["offset"],
        uncertainty=row["uncertainty"],
        due=date.fromisoformat(row["due"]) if row["due"] else None,
        against=row["against"],
    )
