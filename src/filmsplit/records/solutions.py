"""Samples of fountain solution and the bands they are held to: put on record, struck out by later rows, read back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

import sqlalchemy as sa

from filmsplit.condition.solution import Sample, Where
from filmsplit.condition.solution_bands import Band, SolutionBands
from filmsplit.condition.words import Basis
from filmsplit.records.corrections import standing
from filmsplit.records.solution_tables import solution_bands, solution_samples
from filmsplit.records.store import Writer
from filmsplit.records.tables import runs

_SAMPLES, _BANDS = solution_samples, solution_bands
_PLAIN = ("press", "unit", "ph", "temperature_c", "alcohol_percent", "dose_percent", "hardness_dh", "person", "note")


def log_sample(writer: Writer, sample: Sample) -> int:
    """Put a sample on record; its number. One of a series belongs to the others of this run."""
    row = {name: getattr(sample, name) for name in _PLAIN}
    row |= {"run_id": writer.run_id, "day": sample.day.isoformat(), "taken_from": sample.where.value}
    row |= {"fresh": int(sample.fresh), "titration": int(sample.series > 0)}
    row |= {"conductivity_us_per_cm": sample.us_per_cm}
    made = writer.connection.execute(sa.insert(_SAMPLES).values(row)).inserted_primary_key
    assert made is not None
    return int(made[0])


def strike_sample(writer: Writer, number: int, *, day: date, person: str, reason: str) -> bool:
    """Strike a sample out by a later row that says who and why; whether there was one that counts."""
    row = _row(writer.connection, _SAMPLES, number)
    if row is None:
        return False
    said = {"run_id": writer.run_id, "day": day.isoformat(), "person": person, "note": reason, "replaces_id": number}
    kept = {name: row[name] for name in ("press", "unit", "taken_from")}
    writer.connection.execute(sa.insert(_SAMPLES).values(kept | said | {"strikes": 1}))
    return True


def samples_of(connection: sa.Connection, press: str) -> tuple[Sample, ...]:
    """The samples of a press that count, the oldest first."""
    return _samples(connection, sa.and_(_SAMPLES.c.press == press, standing(_SAMPLES)))


def all_samples(connection: sa.Connection) -> tuple[Sample, ...]:
    """Every sample that counts, the oldest first."""
    return _samples(connection, standing(_SAMPLES))


def samples_of_run(connection: sa.Connection, run_id: int) -> tuple[Sample, ...]:
    """What one run put on record, whether it still counts or not."""
    return _samples(connection, sa.and_(_SAMPLES.c.run_id == run_id, _SAMPLES.c.strikes == 0))


def samples_numbered(connection: sa.Connection, numbers: Sequence[int]) -> dict[int, Sample]:
    """The samples of those numbers, whether they count or not."""
    return {each.number: each for each in _samples(connection, _SAMPLES.c.id.in_(numbers))} if numbers else {}


def say_bands(writer: Writer, press: str, *, bands: SolutionBands, day: date, person: str) -> int:
    """Put on record what the shop holds the solution of a press to, from a day on."""
    ph, warm = bands.ph, bands.temperature_c
    row = {"run_id": writer.run_id, "since": day.isoformat(), "press": press, "product": bands.product}
    row |= {
        "ph_low": ph and ph.low,
        "ph_high": ph and ph.high,
        "low_c": warm and warm.low,
        "high_c": warm and warm.high,
    }
    made = writer.connection.execute(sa.insert(_BANDS).values(row | {"person": person})).inserted_primary_key
    assert made is not None
    return int(made[0])


def strike_bands(writer: Writer, number: int, *, day: date, person: str, reason: str) -> bool:
    """Strike bands out: those before them hold again. Whether there were any of that number that count."""
    row = _row(writer.connection, _BANDS, number)
    if row is None:
        return False
    said = {"run_id": writer.run_id, "since": day.isoformat(), "press": row["press"], "product": row["product"]}
    said |= {"person": person, "note": reason, "replaces_id": number, "strikes": 1}
    writer.connection.execute(sa.insert(_BANDS).values(said))
    return True


def bands_of(connection: sa.Connection, press: str, *, on: date) -> SolutionBands:
    """What holds for the solution of a press on a day; empty where the shop has not said anything."""
    query = (
        sa.select(_BANDS)
        .where(_BANDS.c.press == press, _BANDS.c.since <= on.isoformat(), standing(_BANDS))
        .order_by(_BANDS.c.since.desc(), _BANDS.c.id.desc())
        .limit(1)
    )
    row = connection.execute(query).mappings().first()
    if row is None:
        return SolutionBands()
    return SolutionBands(
        product=row["product"],
        ph=_band(row["ph_low"], row["ph_high"]),
        temperature_c=_band(row["low_c"], row["high_c"]),
    )


def _row(connection: sa.Connection, table: sa.Table, number: int) -> sa.RowMapping | None:
    return connection.execute(sa.select(table).where(table.c.id == number, standing(table))).mappings().first()


def _band(low: float | None, high: float | None) -> Band | None:
    return None if low is None or high is None else Band(low=low, high=high, basis=Basis.SHOP)


def _samples(connection: sa.Connection, wanted: sa.ColumnElement[bool]) -> tuple[Sample, ...]:
    query = sa.select(_SAMPLES, runs.c.began_at).join(runs, runs.c.id == _SAMPLES.c.run_id).where(wanted)
    rows = connection.execute(query.order_by(_SAMPLES.c.day, _SAMPLES.c.id)).mappings()
    return tuple(_sample(row) for row in rows)


def _sample(row: sa.RowMapping) -> Sample:
    return Sample(
        day=date.fromisoformat(row["day"]),
        where=Where(row["taken_from"]),
        fresh=bool(row["fresh"]),
        us_per_cm=row["conductivity_us_per_cm"],
        series=row["run_id"] if row["titration"] else 0,
        number=row["id"],
        at=datetime.fromisoformat(row["began_at"]),
        **{name: row[name] for name in _PLAIN},
    )
