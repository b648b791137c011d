"""From words typed to a job that is set, with progress while it takes more than a moment."""

from __future__ import annotations

from dataclasses import replace

from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_files import Targets, target_problems
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


def targets_of(words: SetupWords) -> Targets:
    """The files to write."""
    return Targets(
        paper=words["paper"],
        size=Paper.LETTER if words["letter"] else Paper.A4,
        xjdf=words["xjdf"],
        jdf=words["jdf"],
        csv=words["csv"],
    )
