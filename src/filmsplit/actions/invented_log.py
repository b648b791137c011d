"""The invented log put on record, in a file that somebody named and that holds nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from filmsplit.library.invented_jobs import BACKING, INK, POLARISED, STATUS, InventedJob, invented_jobs
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.jobs import DensityReading, JobRecord, ZoneRecord, find_jobs, log_job
from filmsplit.records.store import Store

FIRST_SHEET = 25
"""The number of the first sheet measured, as the log has it."""


def put_on_record(records: Path) -> tuple[JobRecord, ...]:
    """Every invented job, in one transaction. :class:`Refusal` where the file holds any job already: an invented one
    among real ones would be learned from.
    """
    store = Store.at(records)
    try:
        with store.write("invented log") as writer:
            if find_jobs(writer.connection, most=1):
                raise Refusal(Problem("demo-records-in-use", {"file": str(records)}))
            jobs = tuple(record_of(job) for job in invented_jobs())
            for job in jobs:
                log_job(writer, job)
    finally:
        store.close()
    return jobs


def record_of(job: InventedJob) -> JobRecord:
    """The job as a record, marked invented."""
    along, across = job.sheet_mm
    zones = zip(job.coverage_percent, job.keys, strict=True)
    return JobRecord(
        press=job.press,
        unit=job.unit,
        title=job.title,
        printed_on=job.printed_on,
        ink=INK,
        stock=job.stock,
        operator=label("demo.invented_operator"),
        remarks=label("demo.invented_job"),
        sheets=job.sheets,
        sheets_to_ok=job.sheets_to_ok,
        waste_sheets=job.waste_sheets,
        sweep=job.sweep,
        water=job.water,
        aim_density=job.aim_density,
        aim_status=STATUS,
        aim_polarised=POLARISED,
        aim_backing=BACKING,
        saturation=job.saturation,
        rate_per_um=job.rate_per_um,
        sheet_length_mm=along,
        sheet_width_mm=across,
        invented=True,
        zones=tuple(
            ZoneRecord(zone=zone, coverage=percent / 100, key=key) for zone, (percent, key) in enumerate(zones, start=1)
        ),
        readings=(*_readings(job.first_densities, sheet=FIRST_SHEET), *_readings(job.densities, sheet=None)),
    )


def _readings(densities: tuple[float | None, ...], *, sheet: int | None) -> Iterator[DensityReading]:
    for zone, density in enumerate(densities, start=1):
        if density is not None:
            yield DensityReading(
                zone=zone, density=density, sheet=sheet, status=STATUS, polarised=POLARISED, backing=BACKING
            )
