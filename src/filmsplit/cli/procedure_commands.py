"""`filmsplit procedure show | check`: steps with their press states, behind their gate."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.group(help=label("cli.procedure"))
def procedure() -> None:
    """Commands about procedures at the press."""


@procedure.command(help=label("cli.procedure_show"))
@click.argument("reference", metavar="PRESS")
@click.argument("name", metavar="PROCEDURE")
@click.option("--unit", help=label("cli.procedure_unit"))
def show(reference: str, name: str, unit: str | None) -> None:
    """Print a procedure for a press, passage by passage; steps at the press only after the statement."""
    from filmsplit.actions.procedures import procedure_for
    from filmsplit.cli.procedure_pages import show_procedure

    show_procedure(procedure_for(reference, id=name, unit=unit), ask=sys.stdin.isatty())


@procedure.command(help=label("cli.procedure_check"))
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
def check(files: tuple[Path, ...]) -> None:
    """Look each procedure file over; leave with code 1 if any breaks a rule."""
    from filmsplit.actions.procedures import check_procedures
    from filmsplit.cli.problems import echo_problems

    checked = check_procedures(files)
    for each in checked:
        if each.procedure is not None:
            fill = {"file": each.file, "title": each.procedure.title, "steps": len(each.procedure.steps)}
            click.echo(label("procedure.nothing_wrong", **fill))
        echo_problems(each.problems)
    sys.exit(1 if any(each.procedure is None for each in checked) else 0)
