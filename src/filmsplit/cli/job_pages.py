"""Jobs on record as a person reads them in a terminal."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from platformdirs import user_data_path

from filmsplit.actions.last_time import reasons
from filmsplit.cli.show import console, table
from filmsplit.messages import label
from filmsplit.messages.settings import RECORDS_FILE, RECORDS_VARIABLE
from filmsplit.records.jobs import JobRecord
from filmsplit.records.likeness import Alike

_SHOWN = (
    "ink",
    "stock",
    "operator",
    "sheets",
    "sheets_to_ok",
    "waste_sheets",
    "sweep",
    "water",
    "aim_density",
    "remarks",
)
"""What is shown of a job where somebody said it."""


def records_file(given: Path | None) -> Path:
    """The file of records: the one named, else that of the setting, else the one in the user's data folder."""
    if given is not None:
        return given
    named = os.environ.get(RECORDS_VARIABLE, "")
    return Path(named) if named else user_data_path("filmsplit", appauthor=False) / RECORDS_FILE


def print_list(jobs: Sequence[JobRecord]) -> None:
    """One line a job."""
    if not jobs:
        print(label("job.none"))
        return
    names = ("code", "day", "press", "title", "ink", "stock", "sheets_to_ok")
    made = table(*((label(f"job.{name}"), "right" if name == "sheets_to_ok" else "left") for name in names))
    for job in jobs:
        day, place = job.printed_on.isoformat(), f"{job.press} {job.unit}"
        made.add_row(job.code, day, place, job.title, job.ink, job.stock, _shown(job.sheets_to_ok))
    console().print(made)


def print_alike(found: Sequence[Alike]) -> None:
    """One line a job, the likest first, with the reason and what it was set to."""
    if not found:
        print(label("job.none"))
        return
    numbers = ("likeness", "sheets_to_ok", "sweep", "water")
    names = ("code", "likeness", "why", "day", "title", "sheets_to_ok", "sweep", "water", "keys")
    made = table(*((label(f"job.{name}"), "right" if name in numbers else "left") for name in names))
    for each in found:
        job = each.job
        keys = " ".join(_shown(zone.key) or "-" for zone in job.zones)
        settings = (_shown(job.sheets_to_ok), _shown(job.sweep), _shown(job.water), keys)
        made.add_row(
            job.code, f"{100 * each.likeness:.0f} %", reasons(each), job.printed_on.isoformat(), job.title, *settings
        )
    console().print(made)


def print_job(job: JobRecord) -> None:
    """Everything on record about one job."""
    out = console()
    out.print(f"[bold]{job.title}[/]  {job.code}{'  ' + label('job.invented') if job.invented else ''}")
    facts = table(("", "left"), ("", "left"))
    facts.show_header = False
    for name, value in _facts(job):
        facts.add_row(name, value)
    out.print(facts)
    if job.zones or job.readings:
        out.print(_zone_table(job))


def _facts(job: JobRecord) -> Iterator[tuple[str, str]]:
    yield label("job.day"), job.printed_on.isoformat()
    yield label("job.press"), f"{job.press} {job.unit}"
    for name in _SHOWN:
        value = getattr(job, name)
        if value not in (None, ""):
            yield label(f"job.{name}"), _shown(value)


def _zone_table(job: JobRecord) -> object:
    names = ("zone", "coverage", "key", "density")
    made = table(*((label(f"job.{name}"), "right") for name in names))
    numbers = sorted({zone.zone for zone in job.zones} | {reading.zone for reading in job.readings})
    by_zone = {zone.zone: zone for zone in job.zones}
    for number in numbers:
        zone = by_zone.get(number)
        densities = [f"{reading.density:.2f}" for reading in job.readings if reading.zone == number]
        percent = None if zone is None or zone.coverage is None else round(100 * zone.coverage, 1)
        made.add_row(str(number), _shown(percent), _shown(zone.key if zone else None), ", ".join(densities))
    return made


def _shown(value: object) -> str:
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)
