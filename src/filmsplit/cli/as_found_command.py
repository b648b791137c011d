"""`filmsplit as-found`: a press as its rollers were read, beside it as drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from filmsplit.cli.record_options import JSON, ON, RECORDS, daybook
from filmsplit.messages import Problem, Refusal, label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command("as-found", help=label("cli_as_found.as_found"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", default=None, help=label("cli_setting.unit"))
@click.option("--coverage", type=click.FloatRange(0.1, 100), metavar="PERCENT", help=label("cli_as_found.coverage"))
@click.option("--share", "shares", multiple=True, metavar="A/B=0..1", help=label("cli_as_found.share"))
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_as_found.to"))
@click.option("--over", is_flag=True, help=label("cli.over"))
@ON
@JSON
@RECORDS
def as_found(reference: str, *, as_json: bool, **given: Any) -> None:
    """Compare, and on request write the press file as found."""
    from dataclasses import replace

    from filmsplit.actions.as_found import FoundAsked, write_found
    from filmsplit.actions.as_found import as_found as found_of
    from filmsplit.studies.as_found import DEFAULT_QUESTION

    coverage = given["coverage"]
    question = DEFAULT_QUESTION if coverage is None else replace(DEFAULT_QUESTION, coverage=coverage / 100)
    book = daybook(given["records"], given["day"])
    asked = FoundAsked(unit=given["unit"], question=question, shares=dict(map(_share, given["shares"])))
    found = found_of(reference, asked, book=book)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("as-found 1", found=found))
    else:
        from filmsplit.cli.as_found_pages import print_found

        print_found(found)
    if given["to"]:
        count = write_found(reference, given["to"], book=book, over=given["over"])
        click.echo(label("as_found.written", file=given["to"], count=count), err=as_json)


def _share(text: str) -> tuple[str, float]:
    contact, _, share = text.partition("=")
    try:
        return contact, float(share)
    except ValueError as error:
        raise Refusal(Problem("as-found-share-mistyped", {"text": text})) from error
