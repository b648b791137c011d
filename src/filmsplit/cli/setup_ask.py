"""From words typed to a job that is set, with progress while it takes more than a moment."""

from __future__ import annotations

from dataclasses import replace

import click

from filmsplit.actions.plans import record
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_files import Targets, target_problems
from filmsplit.actions.setup_words import unit_heading
from filmsplit.cli.film_progress import Watching
from filmsplit.cli.job_pages import records_file
from filmsplit.cli.setup_words import SetupWords, read_words
from filmsplit.messages import Refusal, label
from filmsplit.reports.typeset import Paper
from filmsplit.studies.job_study import Stage

STAGES = tuple(Stage)


def ask(reference: str, work: tuple[str, ...], words: SetupWords) -> Set:
    """The job set; refuses with everything that could not be read, and every file in the way, before it computes."""
    asked, job, problems = read_words(work, words)
    problems += target_problems(targets_of(words), over=words["over"])
    if problems:
        raise Refusal(problems)
    with Watching() as watching:

        def read(done: int, rows: int) -> None:
            watching.show(label("setup_stage.read"), part=done / max(rows, 1))

        def told(unit: str, stage: Stage) -> None:
            watching.show(label(f"setup_stage.{stage.value}", unit=unit), part=STAGES.index(stage) / len(STAGES))

        asked = replace(asked, progress=read)
        return set_job(reference, asked, job, records=records_file(words["records"]), told=told)


def recorded(found: Set, words: SetupWords) -> tuple[str, ...]:
    """Paper carries codes: what it was made from goes on record, unless told not to. The codes are said."""
    if words["paper"] is None or words["unrecorded"]:
        return ()
    file = records_file(words["records"])
    codes = record(found, file)
    for unit, code in zip(found.answer.units, codes, strict=True):
        heading = unit_heading(found.answer, unit, press=found.press)
        click.echo(label("cli_setup.recorded", code=code, ink=heading, file=file), err=True)
    return codes


def targets_of(words: SetupWords) -> Targets:
    """The files to write."""
    return Targets(
        paper=words["paper"],
        size=Paper.LETTER if words["letter"] else Paper.A4,
        xjdf=words["xjdf"],
        jdf=words["jdf"],
        csv=words["csv"],
    )
