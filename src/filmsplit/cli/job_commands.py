"""`filmsplit job log | find | show`: the shop's memory of what was printed, and how."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from filmsplit.cli.job_words import RECORDS, facts_in, job_options, numbers, record_of, sheet_options, told_in
from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.group(help=label("cli.job"))
def job() -> None:
    """Commands about jobs on record."""


@job.command("log", help=label("cli.job_log"))
@click.argument("reference", metavar="PRESS")
@click.argument("title", required=False, default="")
@click.option("--plan", metavar="CODE", default="", help=label("cli.job_plan"))
@click.option("--as-planned", is_flag=True, help=label("cli.job_as_planned"))
@click.option("--unit", default="", help=label("cli.unit"))
@click.option("--on", "day", default="", metavar="DAY", help=label("cli.job_on"))
@RECORDS
@job_options
@sheet_options
def log(  # noqa: PLR0913  (click hands everything over by name)
    reference: str, title: str, *, plan: str, as_planned: bool, day: str, records: Path | None, **given: Any
) -> None:
    """Put a job on record as it was really printed."""
    from filmsplit.actions.jobs import log as log_job
    from filmsplit.cli.job_pages import records_file

    told = told_in(given)
    job, file = record_of(title, facts_in(given), day=day), records_file(records)
    if plan:
        from filmsplit.actions.plans import planned, with_plan

        found = planned(file, plan)
        job, told = with_plan(found, job, told, as_planned=as_planned)
        logged = log_job(reference, job, told=told, records=file, code=found.code)
    else:
        logged = log_job(reference, job, told=told, records=file)
    click.echo(label("cli.job_logged", code=logged.code, title=logged.title, file=file))


@job.command("find", help=label("cli.job_find"))
@click.argument("words", nargs=-1)
@click.option("--press", default="", help=label("cli.job_press"))
@click.option("--like", default="", metavar="CODE", help=label("cli.job_like"))
@click.option("--coverage", default="", metavar="A,B,…", help=label("cli.job_find_coverage"))
@click.option("--unit", default="", help=label("cli.job_find_unit"))
@RECORDS
def find(words: tuple[str, ...], records: Path | None, like: str, coverage: str, **place: str) -> None:
    """List jobs that have every word, the newest first, or those like another, the likest first."""
    from filmsplit.actions.jobs import find as find_jobs
    from filmsplit.actions.last_time import last_time, like_job
    from filmsplit.cli.job_pages import print_alike, print_list, records_file

    file = records_file(records)
    if like:
        print_alike(like_job(file, like))
    elif coverage:
        shares = [each / 100 for each in numbers("coverage", coverage)]
        print_alike(last_time(file, press=place["press"], unit=place["unit"], coverage=shares))
    else:
        print_list(find_jobs(file, press=place["press"], unit=place["unit"], words=words))


@job.command("show", help=label("cli.job_show"))
@click.argument("code")
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
@RECORDS
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
