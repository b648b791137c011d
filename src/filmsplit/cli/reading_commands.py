"""`filmsplit reading`: what was read on rollers and done to them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, ON, RECORDS, daybook
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.readings import Told

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
    from filmsplit.actions.readings import record
    from filmsplit.cli.reading_pages import print_recorded

    print_recorded(record([_told(kind, where, values=values, given=given)], book=daybook(records, day)))


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


def _told(kind: str, where: str, *, values: tuple[str, ...], given: dict[str, Any]) -> Told:
    """What was typed; the one word of a grade and the one count of impressions are no readings."""
    from filmsplit.actions.readings import Told

    if kind == "grade":
        return Told(kind=kind, where=where, grade=" ".join(values), **given)
    if kind == "impressions" and len(values) == 1 and values[0].isdecimal():
        return Told(kind=kind, where=where, impressions=int(values[0]), **given)
    return Told(kind=kind, where=where, values=_numbers(values), **given)


def _numbers(words: tuple[str, ...]) -> tuple[float, ...]:
    wrong, numbers = [], []
    for word in words:
        try:
            numbers.append(float(word))
        except ValueError:
            wrong.append(Problem("reading-not-a-number", {"given": word}))
    if wrong:
        raise Refusal(wrong)
    return tuple(numbers)
