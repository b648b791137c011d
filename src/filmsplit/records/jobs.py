"""Jobs as they were really printed: put on record, found again by code, words, press or likeness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date

import sqlalchemy as sa

from filmsplit.records.codes import new_code
from filmsplit.records.store import Writer
from filmsplit.records.tables import jobs, readings, zones


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneRecord:
    """One zone at the OK sheet. ``coverage`` 0..1; ``key`` as read on the press; ``None`` where nobody said."""

    zone: int
    coverage: float | None = None
    key: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityReading:
    """One solid's density. ``sheet`` counts from the start (``None``: the OK sheet)."""

    zone: int
    density: float
    sheet: int | None = None
    status: str = ""
    polarised: bool | None = None
    backing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """A job on one unit. ``sweep`` and ``water`` in the press's own divisions; ``None`` where nobody said.

    ``aim_status``, ``aim_polarised`` and ``aim_backing`` say how a reading must be made to be compared with the aim;
    ``saturation`` and ``rate_per_um`` are the constants of this ink on this stock.
    """

    press: str
    unit: str
    title: str
    printed_on: date
    ink: str = ""
    stock: str = ""
    operator: str = ""
    remarks: str = ""
    sheets: int | None = None
    sheets_to_ok: int | None = None
    waste_sheets: int | None = None
    sweep: float | None = None
    water: float | None = None
    aim_density: float | None = None
    aim_status: str = ""
    aim_polarised: bool | None = None
    aim_backing: str = ""
    saturation: float | None = None
    rate_per_um: float | None = None
    sheet_length_mm: float | None = None
    sheet_width_mm: float | None = None
    invented: bool = False
    zones: tuple[ZoneRecord, ...] = ()
    readings: tuple[DensityReading, ...] = ()
    code: str = field(default="", compare=False)


_PLAIN = tuple(column.name for column in jobs.columns if column.name not in ("id", "run_id", "code"))


def log_job(writer: Writer, job: JobRecord, *, code: str = "") -> str:
    """Put a job on record inside the writer's transaction. Its code to be found by: that of its plan, or a new one."""
    code = code or new_code()
    plain = {name: getattr(job, name) for name in _PLAIN}
    plain["printed_on"], plain["invented"] = job.printed_on.isoformat(), int(job.invented)
    row = sa.insert(jobs).values(run_id=writer.run_id, code=code, **plain)
    key = writer.connection.execute(row).inserted_primary_key
    assert key is not None
    shared = {"run_id": writer.run_id, "job_id": key[0]}
    if job.zones:
        writer.connection.execute(sa.insert(zones), [shared | asdict(zone) for zone in job.zones])
    if job.readings:
        writer.connection.execute(sa.insert(readings), [shared | asdict(reading) for reading in job.readings])
    return code


def job_of(connection: sa.Connection, code: str) -> JobRecord | None:
    """The job with a code, or ``None``."""
    found = _jobs(connection, sa.select(jobs).where(jobs.c.code == code))
    return found[0] if found else None


def job_of_run(connection: sa.Connection, run_id: int) -> JobRecord | None:
    """The job that a run put on record."""
    found = _jobs(connection, sa.select(jobs).where(jobs.c.run_id == run_id))
    return found[0] if found else None


def find_jobs(
    connection: sa.Connection, *, press: str = "", unit: str = "", words: Sequence[str] = (), most: int = 20
) -> tuple[JobRecord, ...]:
    """Jobs of a press and unit (any if empty) that have every word somewhere in their texts, the newest first."""
    query = sa.select(jobs).order_by(jobs.c.printed_on.desc(), jobs.c.id.desc()).limit(most)
    if press:
        query = query.where(jobs.c.press == press)
    if unit:
        query = query.where(jobs.c.unit == unit)
    for word in words:
        texts = (jobs.c.title, jobs.c.ink, jobs.c.stock, jobs.c.remarks, jobs.c.operator)
        query = query.where(sa.or_(*(text.icontains(word, autoescape=True) for text in texts)))
    return _jobs(connection, query)


def _jobs(connection: sa.Connection, query: sa.Select[tuple[object, ...]]) -> tuple[JobRecord, ...]:
    rows = connection.execute(query).mappings().all()
    return tuple(_record(connection, row) for row in rows)


def _record(connection: sa.Connection, row: sa.RowMapping) -> JobRecord:
    plain = {name: row[name] for name in _PLAIN} | {"printed_on": date.fromisoformat(row["printed_on"])}
    plain |= {"invented": bool(row["invented"]), "aim_polarised": _said(row["aim_polarised"])}
    own_zones = sa.select(zones).where(zones.c.job_id == row["id"]).order_by(zones.c.zone)
    own_readings = sa.select(readings).where(readings.c.job_id == row["id"]).order_by(readings.c.id)
    return JobRecord(
        code=row["code"],
        zones=tuple(
            ZoneRecord(zone=z["zone"], coverage=z["coverage"], key=z["key"])
            for z in connection.execute(own_zones).mappings()
        ),
        readings=tuple(_reading(r) for r in connection.execute(own_readings).mappings()),
        **plain,
    )


def _reading(row: sa.RowMapping) -> DensityReading:
    plain = {name: row[name] for name in ("zone", "density", "sheet", "status", "backing")}
    return DensityReading(polarised=_said(row["polarised"]), **plain)


def _said(answer: int | None) -> bool | None:
    return None if answer is None else bool(answer)
