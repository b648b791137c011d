"""`filmsplit job correct`: what to turn after one measured sheet."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.job_words import RECORDS, facts_in, numbers, record_of, sheet_options, told_in
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.correct import Asked, Corrected

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_LIKE_A_CODE = re.compile(r"[0-9A-Za-z]{4}-[0-9A-Za-z]{4}")


@click.command("correct", help=label("cli.job_correct"))
@click.argument("reference", metavar="CODE|PRESS")
@click.option("--press", default="", metavar="PRESS", help=label("cli.job_correct_press"))
@click.option("--unit", default="", help=label("cli.unit"))
@click.option("--reading-error", type=click.FloatRange(0, min_open=True), help=label("cli.job_reading_error"))
@click.option("--converted-by", metavar="OFFSET,FACTOR", default="", help=label("cli.job_converted_by"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
@RECORDS
@sheet_options
def correct(reference: str, records: Path | None, as_json: bool, **given: Any) -> None:
    """Print the moves of the keys, and when to look again."""
    from filmsplit.actions.answers import plain, to_json
    from filmsplit.actions.correct import KIND
    from filmsplit.cli.correct_pages import print_corrected

    found = _corrected(reference, records, given)
    if not as_json:
        print_corrected(found)
        return
    parts = plain(found)
    assert isinstance(parts, dict)
    click.echo(to_json(KIND, **parts))


def _corrected(reference: str, records: Path | None, given: dict[str, Any]) -> Corrected:
    """The moves for a job on record, or for one that is told here."""
    from filmsplit.actions.correct import correct_logged, correct_told
    from filmsplit.cli.job_pages import records_file

    asked, told, press = _asked(given), told_in(given), given.pop("press")
    facts = facts_in(given)
    if _is_code(reference):
        return correct_logged(records_file(records), reference, told=told, facts=facts, press=press, asked=asked)
    return correct_told(reference, record_of(label("job.told"), facts), told=told, asked=asked)


def _asked(given: dict[str, Any]) -> Asked:
    from filmsplit.actions.correct import Asked
    from filmsplit.actions.density_ways import Conversion
    from filmsplit.setup.correct import READING_ERROR

    text = given.pop("converted_by")
    pair = numbers("converted-by", text)
    if text and len(pair) != 2:
        raise Refusal(Problem("job-list-not-numbers", {"option": "--converted-by", "given": text}))
    return Asked(
        sheet=given["read_sheet"],
        reading_error=given.pop("reading_error") or READING_ERROR,
        conversion=Conversion(offset=pair[0], factor=pair[1]) if pair else None,
    )


def _is_code(reference: str) -> bool:
    from filmsplit.records.codes import read_code

    return bool(_LIKE_A_CODE.fullmatch(reference)) or read_code(reference) is not None
