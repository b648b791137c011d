"""`filmsplit press new | set | rollers | contacts`: describe a press without leaving the terminal."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from filmsplit.messages import Problem, Refusal, Severity, label

if TYPE_CHECKING:
    from filmsplit.formats.press_edit import EditedPress

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_FILE = click.Path(path_type=Path, dir_okay=False)
_TURNS = ("clockwise", "anticlockwise")


@click.command(help=label("cli.press_new"))
@click.argument("file", type=_FILE)
@click.option("--name", default="", help=label("cli.new_name"))
@click.option("--plate-turns", type=click.Choice(_TURNS), required=True, help=label("cli.new_turns"))
def new(file: Path, name: str, plate_turns: str) -> None:
    """Write a new press file to fill in."""
    from filmsplit.actions.edit import start_press
    from filmsplit.press.words import TurnSense

    schema = start_press(file, name=name, plate_turns=TurnSense(plate_turns))
    click.echo(label("cli.written", file=file))
    click.echo(label("cli.new_schema", file=schema))


@click.command("set", help=label("cli.press_set"))
@click.argument("file", type=_FILE)
@click.argument("changes", metavar="FIELD=VALUE...", nargs=-1, required=True)
def set_(file: Path, changes: tuple[str, ...]) -> None:
    """Change fields of a press file; comments and layout stay."""
    from filmsplit.actions.edit import set_fields

    pairs = [change.partition("=") for change in changes]
    wrong = [change for change, (_, sign, _) in zip(changes, pairs, strict=True) if not sign]
    if wrong:
        raise Refusal(Problem("change-without-equals", {"asked": each}) for each in wrong)
    _report(file, set_fields(file, {field: value for field, _, value in pairs}))


@click.command(help=label("cli.press_rollers"))
@click.argument("file", type=_FILE)
@click.argument("table", type=_FILE)
@click.option("--unit", help=label("cli.unit"))
def rollers(file: Path, table: Path, unit: str | None) -> None:
    """Add the rollers of a CSV table."""
    from filmsplit.actions.edit import take_rollers

    _report(file, take_rollers(file, table, unit=unit))


@click.command(help=label("cli.press_contacts"))
@click.argument("file", type=_FILE)
@click.argument("table", type=_FILE)
@click.option("--unit", help=label("cli.unit"))
def contacts(file: Path, table: Path, unit: str | None) -> None:
    """Add the contacts of a CSV table."""
    from filmsplit.actions.edit import take_contacts

    _report(file, take_contacts(file, table, unit=unit))


def _report(file: Path, edited: EditedPress) -> None:
    """What was done, and how much the description still lacks: a train is often built up in steps."""
    click.echo(label("cli.changed", file=file))
    lacking = sum(problem.severity is Severity.REFUSED for problem in edited.problems)
    if lacking:
        click.echo(label("cli.still_lacking", count=lacking, file=file))
