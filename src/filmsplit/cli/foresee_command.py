"""`filmsplit foresee`: ghosts, fall-off and starved solids of a job, before its plate is made."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from filmsplit.cli.record_options import JSON, RECORDS
from filmsplit.cli.setup_command import job_options
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.foresee import Foreseen
    from filmsplit.cli.setup_words import SetupWords
    from filmsplit.studies.cure_list import Allowed

MOST_STROKE_MM = 150.0
"""As in a press file."""

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli_foresee.foresee"))
@click.argument("reference", metavar="PRESS")
@click.argument("work", metavar="WORK...", nargs=-1, required=True)
@job_options
@click.option("--visible", type=float, metavar="PERCENT", help=label("cli_foresee.visible"))
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_foresee.picture")
)
@click.option("--film", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_foresee.film"))
@click.option("--cures", is_flag=True, help=label("cli_cures.cures"))
@click.option("--any-grain", is_flag=True, help=label("cli_cures.any_grain"))
@click.option("--no-trim", is_flag=True, help=label("cli_cures.no_trim"))
@click.option("--fixed-guide", is_flag=True, help=label("cli_cures.fixed_guide"))
@click.option("--one-pass", is_flag=True, help=label("cli_cures.one_pass"))
@click.option("--stroke", metavar="LOW-HIGH", help=label("cli_cures.stroke"))
@click.option("--timing", is_flag=True, help=label("cli_cures.timing"))
@click.option("--other-press", "presses", multiple=True, metavar="PRESS", help=label("cli_cures.other_press"))
@click.option(
    "--paper", type=click.Path(path_type=Path, file_okay=False), metavar="FOLDER", help=label("cli_foresee.paper")
)
@click.option("--letter", is_flag=True, help=label("cli_setup.letter"))
@click.option("--over", is_flag=True, help=label("cli.over"))
@JSON
@RECORDS
def foresee(reference: str, work: tuple[str, ...], *, as_json: bool, **given: Any) -> None:
    """Print what the sheet will show; draw it where asked."""
    from filmsplit.actions.cure_pictures import cured_problems, write_cured
    from filmsplit.actions.foresee import KIND
    from filmsplit.actions.foresee import foresee as foreseen
    from filmsplit.actions.foresee_pictures import picture_problems, write_films, write_pictures
    from filmsplit.cli.foresee_pages import print_foreseen
    from filmsplit.cli.job_pages import records_file
    from filmsplit.cli.setup_words import read_words

    asked, job, problems = read_words(work, cast("SetupWords", given))
    allowed, more = _allowed(given)
    problems += more
    for target in (given["picture"], given["film"]):
        problems += picture_problems(target, over=given["over"]) if target else []
    if given["picture"] and given["cures"]:
        problems += cured_problems(given["picture"], over=given["over"])
    if problems:
        raise Refusal(problems)
    visible = None if given["visible"] is None else given["visible"] / 100
    found = foreseen(reference, asked, job, visible=visible, records=records_file(given["records"]), allowed=allowed)
    picture, film = given["picture"], given["film"]
    for target, write in ((picture, write_pictures), (picture, write_cured), (film, write_films)):
        for path in write(found, target, over=given["over"]) if target else ():
            click.echo(label("cli.written", file=path), err=True)
    if given["paper"]:
        _write_paper(found, given)
    if as_json:
        from filmsplit.actions.answers import plain, to_json

        click.echo(to_json(KIND, **cast("dict[str, object]", plain(found.answer))))
    else:
        print_foreseen(found.answer)


def _write_paper(found: Foreseen, given: dict[str, Any]) -> None:
    """Set-up sheets, key strips and the sheet foreseen; the codes on them lead to the records."""
    from filmsplit.actions.foresee_paper import write_paper
    from filmsplit.actions.plans import record
    from filmsplit.actions.setup_files import Targets
    from filmsplit.cli.job_pages import records_file
    from filmsplit.reports.typeset import Paper

    targets = Targets(paper=given["paper"], size=Paper.LETTER if given["letter"] else Paper.A4)
    codes = record(found.job, records_file(given["records"]))
    for path in write_paper(found, targets, over=given["over"], codes=codes):
        click.echo(label("cli.written", file=path), err=True)


def _allowed(given: dict[str, Any]) -> tuple[Allowed | None, list[Problem]]:
    """What may be done about ghosts, if that was asked; and what of it was not understood."""
    from filmsplit.actions.find import find_press
    from filmsplit.studies.cure_list import Allowed

    if not given["cures"]:
        return None, []
    stroke_mm, problems = None, []
    if given["stroke"] is not None:
        try:
            low, high = (float(part) for part in given["stroke"].replace("–", "-").split("-"))
            stroke_mm = (low, high) if 0 <= low <= high <= MOST_STROKE_MM else None
        except ValueError:
            stroke_mm = None
        if stroke_mm is None:
            problems = [Problem("foresee-stroke-not-understood", {"text": given["stroke"], "most_mm": MOST_STROKE_MM})]
    allowed = Allowed(
        trim=not given["no_trim"],
        grain_free=given["any_grain"],
        guide_free=not given["fixed_guide"],
        stroke_mm=stroke_mm,
        timing=given["timing"],
        presses=tuple(find_press(each).press for each in given["presses"]),
        second_pass=not given["one_pass"],
    )
    return allowed, problems
