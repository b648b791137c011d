"""`filmsplit instrument`: what readings are taken with, and how far each was off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, ON, RECORDS, daybook, future_day
from filmsplit.messages import label

if TYPE_CHECKING:
    from datetime import date

    from filmsplit.records.instruments import Calibration

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.group(help=label("cli_instrument.instrument"))
def instrument() -> None:
    """Commands about instruments."""


def _calibration_options(command: Any) -> Any:
    """What a calibration tells."""
    command = click.option("--offset", type=float, help=label("cli_instrument.offset"))(command)
    command = click.option("--uncertainty", type=float, help=label("cli_instrument.uncertainty"))(command)
    command = click.option("--due", default="", metavar="DAY", help=label("cli_instrument.due"))(command)
    return click.option("--against", default="", help=label("cli_instrument.against"))(command)


@instrument.command(help=label("cli_instrument.add"))
@click.argument("name")
@click.argument("kind")
@click.option("--remarks", default="", help=label("cli_instrument.remarks"))
@_calibration_options
@ON
@RECORDS
def add(name: str, kind: str, remarks: str, day: str, records: Path | None, **given: Any) -> None:
    """Put an instrument on record."""
    from filmsplit.actions.instruments import add as add_instrument
    from filmsplit.records.instruments import Instrument

    book = daybook(records, day)
    calibrations = () if given["offset"] is None else (_calibration(book.day, given),)
    made = Instrument(name=name, kind=kind, remarks=remarks, calibrations=calibrations)
    click.echo(label("instrument.added", name=add_instrument(made, book=book).name))


@instrument.command(help=label("cli_instrument.calibrate"))
@click.argument("name")
@_calibration_options
@ON
@RECORDS
def calibrate(name: str, day: str, records: Path | None, **given: Any) -> None:
    """Put a calibration on record."""
    from filmsplit.actions.instruments import calibrate as calibrate_instrument

    book = daybook(records, day)
    done = calibrate_instrument(name, _calibration(book.day, given), book=book)
    click.echo(label("instrument.calibrated", name=done.name, day=book.day.isoformat()))


@instrument.command(help=label("cli_instrument.take_back"))
@click.argument("name")
@click.option("--reason", required=True, help=label("cli_instrument.reason"))
@RECORDS
def take_back(name: str, reason: str, records: Path | None) -> None:
    """Take the last calibration back."""
    from filmsplit.actions.instruments import take_back as take_calibration_back

    take_calibration_back(name, reason=reason, book=daybook(records, ""))
    click.echo(label("instrument.taken_back", name=name))


@instrument.command("list", help=label("cli_instrument.list"))
@JSON
@RECORDS
def list_instruments(as_json: bool, records: Path | None) -> None:
    """List the instruments with their last calibration."""
    from filmsplit.actions.instruments import listed

    found = listed(book=daybook(records, ""))
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("instruments 1", instruments=found))
        return
    from filmsplit.cli.reading_pages import print_instruments

    print_instruments(found)


def _calibration(day: date, given: dict[str, Any]) -> Calibration:
    """The calibration as told; what nobody gave cannot pass for 0."""
    from filmsplit.records.instruments import Calibration

    missing = float("nan")
    return Calibration(
        day=day,
        offset=missing if given["offset"] is None else given["offset"],
        uncertainty=missing if given["uncertainty"] is None else given["uncertainty"],
        due=future_day(given["due"]),
        against=given["against"],
    )
