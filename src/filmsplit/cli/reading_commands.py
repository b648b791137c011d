"""`filmsplit reading`: what was read on rollers and done to them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from filmsplit.cli.record_options import JSON, ON, PAPER, RECORDS, daybook
from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_NEGATIVE = {"ignore_unknown_options": True}
"""A value may begin with a minus sign; an option that does not exist is then refused as a value."""


@click.group(help=label("cli_reading.reading"))
def reading() -> None:
    """Commands about readings and events."""


@reading.command(help=label("cli_reading.add"), context_settings=_NEGATIVE)
@click.argument("kind")
@click.argument("where")
@click.argument("values", nargs=-1)
@click.option("--at", default="", metavar="PLACE", help=label("cli_reading.at"))
@click.option("--angle", "angle_deg", type=float, help=label("cli_reading.angle"))
@click.option("--temperature", "temperature_c", type=float, help=label("cli_reading.temperature"))
@click.option("--with", "instrument", default="", metavar="NAME", help=label("cli_reading.with"))
@click.option("--by", "person", default="", help=label("cli_reading.by"))
@click.option("--product", default="", help=label("cli_reading.product"))
@click.option("--arrival", is_flag=True, help=label("cli_reading.arrival"))
@click.option("--remarks", default="", help=label("cli_reading.remarks"))
@click.option("--instead-of", type=int, metavar="NUMBER", help=label("cli_reading.instead_of"))
@ON
@RECORDS
def add(kind: str, where: str, values: tuple[str, ...], day: str, records: Path | None, **given: Any) -> None:
    """Put one reading or event on record."""
    from filmsplit.actions.reading_round import told_in_words
    from filmsplit.actions.readings import record
    from filmsplit.cli.reading_pages import print_recorded

    print_recorded(record([told_in_words(kind, where, words=values, given=given)], book=daybook(records, day)))


@reading.command(help=label("cli_reading.sheet"))
@click.argument("reference", metavar="PRESS")
@click.argument("to", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--over", is_flag=True, help=label("cli.over"))
def sheet(reference: str, to: Path, over: bool) -> None:
    """Write a table of what to read on a press."""
    from filmsplit.actions.reading_round import write_sheet

    click.echo(label("reading.sheet", lines=write_sheet(reference, to, over=over), file=to))


@reading.command(help=label("cli_reading.paper"))
@click.argument("reference", metavar="PRESS")
@click.argument("to", type=click.Path(path_type=Path, dir_okay=False))
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@RECORDS
def paper(reference: str, to: Path, size: str, over: bool, records: Path | None) -> None:
    """Write the checklist of a round."""
    from filmsplit.actions.round_paper import write_round_paper
    from filmsplit.reports.typeset import Paper

    write_round_paper(reference, to, book=daybook(records, ""), paper=Paper(size), over=over)
    click.echo(label("reading.paper", file=to))


@reading.command("round", help=label("cli_reading.round"))
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@ON
@RECORDS
def round_(file: Path, day: str, records: Path | None) -> None:
    """Put a filled table on record."""
    from filmsplit.actions.reading_round import record_round
    from filmsplit.cli.reading_pages import print_recorded

    print_recorded(record_round(file, book=daybook(records, day)))


@reading.command("list", help=label("cli_reading.list"))
@click.argument("where", required=False, default="")
@click.option("--kind", "kinds", multiple=True, help=label("cli_reading.kind"))
@JSON
@RECORDS
def list_readings(where: str, kinds: tuple[str, ...], as_json: bool, records: Path | None) -> None:
    """List what was read and done, the oldest first."""
    from filmsplit.actions.readings import listed
    from filmsplit.cli.roller_pages import print_entries

    found = listed(where, book=daybook(records, ""), kinds=kinds)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("readings 1", entries=found.entries, marks=found.marks))
        return
    print_entries(found.entries, marks=found.marks)


@reading.command(help=label("cli_reading.strike"))
@click.argument("number", type=int)
@click.option("--reason", required=True, help=label("cli_reading.reason"))
@RECORDS
def strike(number: int, reason: str, records: Path | None) -> None:
    """Strike out an entry that was wrong."""
    from filmsplit.actions.readings import strike_out

    strike_out(number, reason=reason, book=daybook(records, ""))
    click.echo(label("reading.struck", number=number))
