"""Jobs as they were really printed: put on record, found again by code, words, press or likeness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date

import sqlalchemy as sa

from filmsplit.records.codes import new_code
from filmsplit.records.store import Writer
from filmsplit.records.tables import jobs, readings, struck_jobs, zones


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
    """Put a job on record inside the writer's transaction. Its code to be found by: that of its plan, or a new one
    (also where a job that was struck out has that of the plan)."""
    code = code if code and not _is_taken(writer.connection, code) else new_code()
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """Who struck a job out, when and why."""

    day: str
    person: str
    reason: str


def strike_job(writer: Writer, code: str, *, day: date, person: str, reason: str) -> bool:
    """Strike a job out by a row that says who and why; whether there was one that counts. Nothing of it is lost."""
    row = writer.connection.execute(sa.select(jobs.c.id).where(jobs.c.code == code, _counts())).first()
    if row is None:
        return False
    said = {"day": day.isoformat(), "person": person, "reason": reason}
    writer.connection.execute(sa.insert(struck_jobs).values(run_id=writer.run_id, job_id=row[0], **said))
    return True


def struck(connection: sa.Connection, code: str) -> Struck | None:
    """Why the job with a code counts no longer; ``None`` where it does, or there is none."""
    columns = (struck_jobs.c.day, struck_jobs.c.person, struck_jobs.c.reason)
    query = sa.select(*columns).join(jobs, jobs.c.id == struck_jobs.c.job_id).where(jobs.c.code == code)
    row = connection.execute(query).mappings().first()
    return None if row is None else Struck(**row)


def _counts() -> sa.ColumnElement[bool]:
    """Jobs that are not struck out."""
    return sa.not_(sa.exists().where(struck_jobs.c.job_id == jobs.c.id))


def _is_taken(connection: sa.Connection, code: str) -> bool:
    """Whether a job has that code which is struck out: a job that counts would be in the way, and is refused before."""
    return connection.execute(sa.select(jobs.c.id).where(jobs.c.code == code, sa.not_(_counts()))).first() is not None


def job_of(connection: sa.Connection, code: str) -> JobRecord | None:
    """The job with a code, or ``None``; one that was struck out counts as none."""
    found = _jobs(connection, sa.select(jobs).where(jobs.c.code == code, _counts()))
    return found[0] if found else None


def job_of_run(connection: sa.Connection, run_id: int) -> JobRecord | None:
    """The job that a run put on record."""
    found = _jobs(connection, sa.select(jobs).where(jobs.c.run_id == run_id))
    return found[0] if found else None


def find_jobs(
    connection: sa.Connection, *, press: str = "", unit: str = "", words: Sequence[str] = (), most: int = 20
) -> tuple[JobRecord, ...]:
    """Jobs of a press and unit (any if empty) that have every word somewhere in their texts, the newest first.

    Those struck out are left out, so that nobody learns from them.
    """
    query = sa.select(jobs).where(_counts()).order_by(jobs.c.printed_on.desc(), jobs.c.id.desc()).limit(most)
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
