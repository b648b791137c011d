"""`filmsplit job log | find | show`: the shop's memory of what was printed, and how."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.records.jobs import JobRecord

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_FILE = click.Path(path_type=Path, dir_okay=False)
_RECORDS = click.option("--records", type=_FILE, help=label("cli.job_records"))
_TEXTS = ("ink", "stock", "operator", "remarks")
_COUNTS = ("sheets", "sheets-to-ok", "waste-sheets")
_NUMBERS = ("sweep", "water", "aim-density")
_LISTS = ("keys", "coverage", "densities")


@click.group(help=label("cli.job"))
def job() -> None:
    """Commands about jobs on record."""


def _log_options(command: Any) -> Any:
    """The options of `job log`, by kind."""
    for name in _LISTS:
        command = click.option(f"--{name}", metavar="A,B,…", default="", help=label(f"cli.job_{name}"))(command)
    for names, kind in ((_TEXTS, str), (_COUNTS, int), (_NUMBERS, float)):
        for name in names:
            explained = label(f"cli.job_{name.replace('-', '_')}")
            command = click.option(f"--{name}", type=kind, default="" if kind is str else None, help=explained)(command)
    return command


@job.command("log", help=label("cli.job_log"))
@click.argument("reference", metavar="PRESS")
@click.argument("title")
@click.option("--unit", default="", help=label("cli.unit"))
@click.option("--on", "day", default="", metavar="DAY", help=label("cli.job_on"))
@click.option("--readings", type=_FILE, help=label("cli.job_readings"))
@click.option("--status", default="", help=label("cli.job_status"))
@click.option("--polarised/--unpolarised", default=None, help=label("cli.job_polarised"))
@click.option("--backing", default="", help=label("cli.job_backing"))
@_RECORDS
@_log_options
def log(reference: str, title: str, **given: Any) -> None:
    """Put a job on record as it was really printed."""
    from filmsplit.actions.jobs import Told
    from filmsplit.actions.jobs import log as log_job
    from filmsplit.cli.job_pages import records_file

    keys, coverage, densities = (_numbers(name, given.pop(name)) for name in _LISTS)
    told = Told(
        keys=keys,
        coverage_percent=coverage,
        densities=densities,
        readings_file=given.pop("readings"),
        **{name: given.pop(name) for name in ("status", "polarised", "backing")},
    )
    records = records_file(given.pop("records"))
    logged = log_job(reference, _record(title, given), told=told, records=records)
    click.echo(label("cli.job_logged", code=logged.code, title=logged.title, file=records))


@job.command("find", help=label("cli.job_find"))
@click.argument("words", nargs=-1)
@click.option("--press", default="", help=label("cli.job_press"))
@_RECORDS
def find(words: tuple[str, ...], press: str, records: Path | None) -> None:
    """List jobs that have every word, the newest first."""
    from filmsplit.actions.jobs import find as find_jobs
    from filmsplit.cli.job_pages import print_list, records_file

    print_list(find_jobs(records_file(records), press=press, words=words))


@job.command("show", help=label("cli.job_show"))
@click.argument("code")
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
@_RECORDS
def show(code: str, as_json: bool, records: Path | None) -> None:
    """Print one job as it is on record."""
    from filmsplit.actions.jobs import show as show_job
    from filmsplit.cli.job_pages import print_job, records_file

    found = show_job(records_file(records), code)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("job 1", job=found))
        return
    print_job(found)


def _record(title: str, given: dict[str, Any]) -> JobRecord:
    """The record without what only the press can tell."""
    from filmsplit.actions.jobs import today
    from filmsplit.records.jobs import JobRecord

    day = given.pop("day")
    try:
        printed_on = date.fromisoformat(day) if day else today()
    except ValueError as error:
        raise Refusal(Problem("job-day-unknown", {"given": day})) from error
    return JobRecord(press="", title=title, printed_on=printed_on, **given)


def _numbers(option: str, text: str) -> tuple[float, ...]:
    """The numbers of a list with commas."""
    try:
        return tuple(float(word) for word in text.split(",")) if text else ()
    except ValueError as error:
        raise Refusal(Problem("job-list-not-numbers", {"option": f"--{option}", "given": text})) from error
