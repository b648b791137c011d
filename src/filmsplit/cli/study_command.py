"""`filmsplit which-press` and `filmsplit study`: a job on every press of the workshop; many layouts on many presses."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from filmsplit.cli.record_options import JSON
from filmsplit.cli.setup_command import job_options
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.study_row import Pair, StudyRow
    from filmsplit.cli.setup_words import SetupWords

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_PRESSES = click.option("--press", "presses", multiple=True, metavar="PRESS", help=label("cli_study.press"))
_WORKERS = click.option(
    "--workers", type=click.IntRange(1, 256), default=2, show_default=True, help=label("cli_study.workers")
)
_FILE = click.Path(path_type=Path, dir_okay=False)
KIND = "which press 1"


@click.command("which-press", help=label("cli_study.which_press"))
@click.argument("work", metavar="WORK...", nargs=-1, required=True)
@job_options
@_PRESSES
@click.option("--visible", type=float, metavar="PERCENT", help=label("cli_foresee.visible"))
@_WORKERS
@JSON
def which_press(work: tuple[str, ...], *, presses: tuple[str, ...], workers: int, as_json: bool, **given: Any) -> None:
    """Print the presses, the best for the job first."""
    from filmsplit.actions.study import local
    from filmsplit.actions.study_row import rank
    from filmsplit.cli.study_pages import print_presses
    from filmsplit.studies.ghosts import VISIBLE

    pairs = _pairs((work,), presses, given)
    visible = pairs[0].visible or VISIBLE
    with local(workers) as executor:
        rows = sorted(_watched(pairs, executor), key=lambda row: rank(row, visible=visible))
    if as_json:
        from filmsplit.actions.answers import plain, to_json

        click.echo(to_json(KIND, layout=pairs[0].layout, visible=visible, presses=plain(rows)))
    else:
        print_presses(rows, layout=pairs[0].layout, visible=visible)


@click.command(help=label("cli_study.study"))
@click.argument("layouts", metavar="LAYOUT...", nargs=-1, required=True)
@job_options
@_PRESSES
@click.option("--visible", type=float, metavar="PERCENT", help=label("cli_foresee.visible"))
@click.option("--kept", type=_FILE, metavar="FILE", help=label("cli_study.kept"))
@click.option("--csv", "csv_file", type=_FILE, metavar="FILE", help=label("cli_study.csv"))
@click.option("--cluster", metavar="ADDRESS", help=label("cli_study.cluster"))
@click.option("--over", is_flag=True, help=label("cli.over"))
@_WORKERS
def study(layouts: tuple[str, ...], *, presses: tuple[str, ...], workers: int, **given: Any) -> None:
    """Look at every layout on every press; print and keep the results."""
    from filmsplit.actions.study import as_csv, distributed, local
    from filmsplit.cli.study_pages import print_rows
    from filmsplit.formats.replace_file import write_file

    target = given["csv_file"]
    if target is not None and target.exists() and not given["over"]:
        raise Refusal(Problem("file-in-the-way", {"file": str(target)}))
    pairs = _pairs(tuple((each,) for each in layouts), presses, given)
    with distributed(given["cluster"]) if given["cluster"] else local(workers) as executor:
        rows = _watched(pairs, executor, kept=given["kept"])
    if target is not None:
        write_file(target, as_csv(rows).encode(), over=given["over"])
        click.echo(label("cli.written", file=target), err=True)
    print_rows(rows)


def _pairs(works: tuple[tuple[str, ...], ...], presses: tuple[str, ...], given: dict[str, Any]) -> list[Pair]:
    """Every work on every press: those named, else those of the demo workshop."""
    from filmsplit.actions.study_row import Pair
    from filmsplit.cli.setup_words import read_words
    from filmsplit.library.workshop import demo_presses

    visible = None if given["visible"] is None else given["visible"] / 100
    pairs, problems = [], list[Problem]()
    for work in works:
        asked, job, wrong = read_words(work, cast("SetupWords", given))
        problems += wrong
        made = replace(job, use_learned=False)
        pairs += [Pair(press=press, work=asked, job=made, visible=visible) for press in presses or demo_presses()]
    if problems:
        raise Refusal(problems)
    return pairs


def _watched(pairs: list[Pair], executor: Any, *, kept: Path | None = None) -> list[StudyRow]:
    from filmsplit.actions.study import rows_of
    from filmsplit.cli.film_progress import Watching

    with Watching() as watching:

        def told(row: StudyRow, done: int, of: int) -> None:
            watching.show(label("study.done", layout=row.layout, press=row.press), part=done / of)

        return rows_of(pairs, executor, kept=kept, told=told)
