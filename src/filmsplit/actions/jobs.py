"""Jobs on record: log one as it was really printed, find those like it, show one again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.formats.measurement_text import HIGHEST_DENSITY, Measurement, read_measurement
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.records.codes import read_code
from filmsplit.records.jobs import (
    DensityReading,
    JobRecord,
    ZoneRecord,
    find_jobs,
    job_of,
    job_of_run,
    log_job,
    struck,
)
from filmsplit.records.store import Store
from filmsplit.records.submits import recorded_before

MOST_FOUND = 20
"""Jobs listed unless more are asked for."""

STATUSES = ("", "E", "T", "A", "I")
"""Density statuses of ISO 5-3 that a press room meets, and "not said"."""

_NUMBERS = {
    "aim_density": (0.0, HIGHEST_DENSITY),
    "saturation": (0.1, 2 * HIGHEST_DENSITY),
    "rate_per_um": (0.01, 100.0),
    "sheet_length_mm": (10.0, 10_000.0),
    "sheet_width_mm": (10.0, 10_000.0),
}
"""What a slip would put outside of; nothing of the trade comes near."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What somebody tells about a job, as told: lists by zone from the operator's side, shares in percent.

    A density is ``None`` where a zone was not read. ``sheet`` is the sheet read (``None``: the OK sheet).
    """

    keys: tuple[float, ...] = ()
    coverage_percent: tuple[float, ...] = ()
    densities: tuple[float | None, ...] = ()
    readings_file: Path | None = None
    status: str = ""
    polarised: bool | None = None
    backing: str = ""
    sheet: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A job that fits its press; not on record yet."""

    press: Press
    unit: Unit
    job: JobRecord


def checked(reference: str, job: JobRecord, told: Told) -> Checked:
    """The job with what was told, checked against the press; :class:`Refusal` with everything that does not fit."""
    press = find_press(reference).press
    unit = units_asked(press, job.unit or None)[0]
    measured = read_measurement(told.readings_file) if told.readings_file is not None else None
    whole = replace(
        job,
        press=press.id,
        unit=unit.id,
        zones=tuple(_zones(unit, told)),
        readings=(*_typed(told), *_measured(measured, told)),
    )
    problems = tuple(_problems(unit, whole, told=told))
    if problems:
        raise Refusal(problems)
    return Checked(press=press, unit=unit, job=whole)


def log(reference: str, job: JobRecord, *, told: Told, records: Path, code: str = "") -> JobRecord:
    """Check everything against the press, put the job on record in one transaction, and give it back with its code.

    ``code`` is that of its plan; without one the job gets a new one.
    """
    whole = checked(reference, job, told).job
    store = Store.at(records)
    with store.write("job log") as writer:
        code = log_job(writer, whole, code=code)
    store.close()
    return replace(whole, code=code)


def log_once(reference: str, job: JobRecord, *, told: Told, records: Path, key: str) -> JobRecord:
    """Put the job on record as :func:`log` does; sent again under the same ``key``, it is the job of the first time."""
    whole = checked(reference, job, told).job
    store = Store.at(records)
    try:
        with store.write("job log") as writer:
            before = recorded_before(writer, key, said=repr(whole))
            if before is None:
                return replace(whole, code=log_job(writer, whole))
            found = job_of_run(writer.connection, before)
    finally:
        store.close()
    if found is None:
        raise Refusal(Problem("submit-key-used", {"key": key}))
    return found


def find(
    records: Path, *, press: str = "", unit: str = "", words: Sequence[str] = (), most: int = MOST_FOUND
) -> tuple[JobRecord, ...]:
    """Jobs that have every word, the newest first. Looking makes no file."""
    if not records.exists():
        return ()
    store = Store.at(records)
    with store.read() as connection:
        return find_jobs(connection, press=press, unit=unit, words=words, most=most)


def show(records: Path, text: str) -> JobRecord:
    """The job whose code was typed; :class:`Refusal` where the code is mistyped or unknown here."""
    code = read_code(text)
    if code is None:
        raise Refusal(Problem("job-code-mistyped", {"asked": text}))
    found = gone = None
    if records.exists():
        with Store.at(records).read() as connection:
            found, gone = job_of(connection, code), struck(connection, code)
    if gone is not None:
        values = {"code": code, "day": gone.day, "person": gone.person, "reason": gone.reason}
        raise Refusal(Problem("job-struck-out", values))
    if found is None:
        raise Refusal(Problem("job-not-found", {"code": code, "file": str(records)}))
    return found


def _zones(unit: Unit, told: Told) -> Iterator[ZoneRecord]:
    """One record a zone; a list that is too long or short is complained of later, and loses nothing here."""
    count = len(unit.fountain.zone_widths_mm) if unit.fountain is not None else 0
    if not told.keys and not told.coverage_percent:
        return
    for zone in range(1, max(count, len(told.keys), len(told.coverage_percent)) + 1):
        key = told.keys[zone - 1] if zone <= len(told.keys) else None
        percent = told.coverage_percent[zone - 1] if zone <= len(told.coverage_percent) else None
        yield ZoneRecord(zone=zone, key=key, coverage=None if percent is None else percent / 100)


def _typed(told: Told) -> Iterator[DensityReading]:
    way = {"status": told.status, "polarised": told.polarised, "backing": told.backing}
    for zone, density in enumerate(told.densities, start=1):
        if density is not None:
            yield DensityReading(zone=zone, density=density, sheet=told.sheet, **way)  # type: ignore[arg-type]


def _measured(measured: Measurement | None, told: Told) -> Iterator[DensityReading]:
    """Readings of a file; what it does not say about how they were measured may have been told."""
    for sample in () if measured is None else measured.samples:
        density = next(iter(sample.densities.values()), None)
        if density is not None and measured is not None:
            yield DensityReading(
                zone=sample.number,
                density=density,
                sheet=told.sheet,
                status=measured.status or told.status,
                polarised=told.polarised if measured.polarised is None else measured.polarised,
                backing=measured.backing or told.backing,
            )


def _problems(unit: Unit, job: JobRecord, *, told: Told) -> Iterator[Problem]:
    fountain = unit.fountain
    if fountain is None:
        yield Problem("ink-no-fountain", {"unit": unit.id})
        return
    if not job.title.strip():
        yield Problem("job-untitled")
    zones = len(fountain.zone_widths_mm)
    for what, values in (("keys", told.keys), ("coverage", told.coverage_percent), ("densities", told.densities)):
        if values and len(values) != zones:
            yield Problem("job-zones-count", {"what": what, "given": len(values), "zones": zones})
    yield from _out_of_range("keys", told.keys, low=fountain.keys.lowest, high=fountain.keys.highest)
    yield from _out_of_range("coverage", told.coverage_percent, low=0, high=100)
    read = [density for density in told.densities if density is not None]
    yield from _out_of_range("densities", read, low=0, high=HIGHEST_DENSITY)
    sweep = () if job.sweep is None else (job.sweep,)
    yield from _out_of_range("sweep", sweep, low=fountain.sweep.lowest, high=fountain.sweep.highest)
    for name, (low, high) in _NUMBERS.items():
        number = getattr(job, name)
        yield from _out_of_range(name, () if number is None else (number,), low=low, high=high)
    beyond = sorted({reading.zone for reading in job.readings if reading.zone > zones})
    if beyond and not told.densities:
        yield Problem("job-zones-count", {"what": "readings", "given": beyond[-1], "zones": zones})
    for name in ("sheets", "sheets_to_ok", "waste_sheets"):
        count = getattr(job, name)
        if count is not None and count < 0:
            yield Problem("job-out-of-range", {"what": name, "given": count, "low": 0, "high": "any number"})
    for status in {told.status, job.aim_status} - set(STATUSES):
        yield Problem("job-status-unknown", {"given": status, "known": ", ".join(STATUSES[1:])})


def _out_of_range(what: str, values: Sequence[float], *, low: float, high: float) -> Iterator[Problem]:
    """NaN is out of every range."""
    for value in values:
        if not low <= value <= high:
            yield Problem("job-out-of-range", {"what": what, "given": value, "low": low, "high": high})


def today() -> date:
    """The day by the clock here."""
    return datetime.now().astimezone().date()
