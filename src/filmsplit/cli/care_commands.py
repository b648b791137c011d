"""`filmsplit care | due | order`: are the rollers fit, what is due, what to order."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, LIMITS, ON, PAPER, RECORDS, daybook, future_day
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.actions.register import Daybook

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

INKS = ("oil", "ultraviolet", "hybrid")
WASHES = ("mineral", "vegetable", "radiation", "strong")
"""The families and classes of `setup.cover_checks`, so that help need not load it; a test holds them together."""


def _book(given: dict[str, Any]) -> Daybook:
    return daybook(given["records"], given["day"])


@click.command(help=label("cli_care.care"))
@click.argument("reference", metavar="PRESS")
@click.option("--until", default="", metavar="DAY", help=label("cli_care.until"))
@LIMITS
@ON
@JSON
@RECORDS
def care(reference: str, *, until: str, as_json: bool, **given: Any) -> None:
    """Verdict and forecast of every roller of a press."""
    from filmsplit.actions.care import look_after

    found = look_after(reference, book=_book(given), until=future_day(until), limits=given["limits"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("roller-care 1", care=found))
        return
    from filmsplit.cli.care_pages import print_care

    print_care(found)


@click.command(help=label("cli_care.due"))
@click.argument("reference", metavar="PRESS")
@LIMITS
@ON
@JSON
@RECORDS
def due(reference: str, *, as_json: bool, **given: Any) -> None:
    """What is due on a press."""
    from filmsplit.actions.care import due as due_on

    book = _book(given)
    found = due_on(reference, book=book, limits=given["limits"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("roller-dues 1", today=book.day, tasks=found))
        return
    from filmsplit.cli.care_pages import print_due

    print_due(found, today=book.day)


@click.command(help=label("cli_care.order"))
@click.argument("roller")
@click.option("--ink", "inks", multiple=True, type=click.Choice(INKS), help=label("cli_care.ink"))
@click.option("--wash", default="", type=click.Choice(["", *WASHES]), help=label("cli_care.wash"))
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_care.to"))
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@ON
@JSON
@RECORDS
def order(roller: str, *, as_json: bool, **given: Any) -> None:
    """The order for a roller."""
    from filmsplit.actions.care import order as order_of
    from filmsplit.condition.orders import Duty

    found = order_of(roller, duty=Duty(inks=given["inks"], wash=given["wash"]), book=_book(given))
    if given["to"]:
        from filmsplit.actions.order_paper import write_order
        from filmsplit.reports.typeset import Paper

        write_order(found, given["to"], book=_book(given), paper=Paper(given["size"]), over=given["over"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("roller-order 1", order=found))
        return
    from filmsplit.cli.care_pages import print_order

    print_order(found)
