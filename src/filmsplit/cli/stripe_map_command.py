"""`filmsplit stripe-map`: the last stripe of every contact of a press, and what to do about it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, LIMITS, ON, PAPER, RECORDS, daybook
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.actions.stripe_map import StripeMap

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command("stripe-map", help=label("cli_papers.stripe_map"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", default=None, help=label("cli.unit"))
@click.option(
    "--to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_papers.stripe_map_to")
)
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@LIMITS
@ON
@JSON
@RECORDS
def stripe_map(reference: str, *, as_json: bool, **given: Any) -> None:
    """The stripe map of a press."""
    from filmsplit.actions.stripe_map import stripe_map as map_of

    book = daybook(given["records"], given["day"])
    found = map_of(reference, book=book, unit=given["unit"], limits=given["limits"])
    if given["to"]:
        from filmsplit.actions.stripe_map_paper import write_stripe_map
        from filmsplit.reports.typeset import Paper

        write_stripe_map(found, given["to"], reference=reference, paper=Paper(given["size"]), over=given["over"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("stripe-map 1", map=found))
        return
    _print_map(found)


def _print_map(found: StripeMap) -> None:
    from filmsplit.actions.stripe_map_paper import read_words, to_do
    from filmsplit.cli.show import console, print_bullet, table

    out = console()
    for unit in found.units:
        names = ("number", "contact", "do", "last", "target")
        made = table(*((label(f"stripe_map_head.{name}"), "left") for name in names))
        for each in unit.contacts:
            sign = label(f"stripe_map_sign.{each.sign.value}")
            made.add_row(str(each.number), each.contact, sign, read_words(each), f"{each.target_mm:.1f}")
        out.print(f"[bold]{unit.unit}[/]")
        out.print(made)
        for each in unit.contacts:
            for said in to_do(each):
                print_bullet(f"{each.contact}: {said}", out=out)
