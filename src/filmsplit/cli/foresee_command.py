"""`filmsplit foresee`: ghosts, fall-off and starved solids of a job, before its plate is made."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from filmsplit.cli.record_options import JSON, RECORDS
from filmsplit.cli.setup_command import job_options
from filmsplit.messages import Refusal, label

if TYPE_CHECKING:
    from filmsplit.cli.setup_words import SetupWords

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli_foresee.foresee"))
@click.argument("reference", metavar="PRESS")
@click.argument("work", metavar="WORK...", nargs=-1, required=True)
@job_options
@click.option("--visible", type=float, metavar="PERCENT", help=label("cli_foresee.visible"))
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_foresee.picture")
)
@click.option("--over", is_flag=True, help=label("cli.over"))
@JSON
@RECORDS
def foresee(reference: str, work: tuple[str, ...], *, as_json: bool, **given: Any) -> None:
    """Print what the sheet will show; draw it where asked."""
    from filmsplit.actions.foresee import KIND
    from filmsplit.actions.foresee import foresee as foreseen
    from filmsplit.actions.foresee_pictures import picture_problems, write_pictures
    from filmsplit.cli.foresee_pages import print_foreseen
    from filmsplit.cli.job_pages import records_file
    from filmsplit.cli.setup_words import read_words

    asked, job, problems = read_words(work, cast("SetupWords", given))
    if given["picture"]:
        problems += picture_problems(given["picture"], over=given["over"])
    if problems:
        raise Refusal(problems)
    visible = None if given["visible"] is None else given["visible"] / 100
    found = foreseen(reference, asked, job, visible=visible, records=records_file(given["records"]))
    if given["picture"]:
        for path in write_pictures(found, given["picture"], over=given["over"]):
            click.echo(label("cli.written", file=path), err=True)
    if as_json:
        from filmsplit.actions.answers import plain, to_json

        click.echo(to_json(KIND, **cast("dict[str, object]", plain(found.answer))))
    else:
        print_foreseen(found.answer)
