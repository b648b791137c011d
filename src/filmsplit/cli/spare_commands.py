"""`filmsplit spares | grind`: what to keep on the shelf, and to what diameters form rollers are ground."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from filmsplit.cli.record_options import JSON, RECORDS, daybook
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.actions.care_spares import Grinding, Spares

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli_care.spares"))
@click.argument("references", metavar="PRESSES", nargs=-1, required=True)
@JSON
@RECORDS
def spares(references: tuple[str, ...], *, as_json: bool, records: Path | None) -> None:
    """Stock and reorder point of each group."""
    from filmsplit.actions.care_spares import spares as spares_of

    found = spares_of(references, book=daybook(records, ""))
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("roller-spares 1", spares=found))
        return
    _print_spares(found)


@click.command(help=label("cli_care.grind"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", default=None, help=label("cli.unit"))
@click.option("--must", multiple=True, metavar="PLACE", help=label("cli_care.must"))
@JSON
@RECORDS
def grind(reference: str, *, unit: str | None, must: tuple[str, ...], as_json: bool, records: Path | None) -> None:
    """Diameters to grind form rollers to."""
    from filmsplit.actions.care_spares import grind as grind_of

    found = grind_of(reference, book=daybook(records, ""), unit=unit, must=must)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("roller-grinding 1", grinding=found))
        return
    _print_grinding(found)


def _print_spares(found: tuple[Spares, ...]) -> None:
    from filmsplit.cli.show import console, table

    if not found:
        click.echo(label("care.no_groups"))
        return
    names = ("group", "stock", "expected", "point", "order_now", "order_by")
    made = table(*((label(f"care.{name}"), "left" if name in ("group", "order_by") else "right") for name in names))
    for each in found:
        plan = each.plan
        nobody_knows = len(plan.without_forecast) == len(plan.group.rollers)
        later = label("care.no_forecast") if nobody_knows else label("care.later")
        by = later if plan.order_by is None else plan.order_by.isoformat()
        counts = (str(plan.group.stock), f"{plan.expected:.1f}", str(plan.reorder_point), str(plan.order))
        made.add_row(", ".join(plan.group.rollers), *counts, by)
    console().print(made)
    click.echo(label("care.spares_note"))
    if any(each.lead_assumed for each in found):
        click.echo(label("care.lead_assumed"))
    without = [mark for each in found for mark in each.plan.without_forecast]
    if without:
        click.echo(label("care.without", marks=", ".join(without)))


def _print_grinding(found: Grinding) -> None:
    from filmsplit.cli.show import console, table

    made = table((label("care.roller"), "left"), (label("care.now_mm"), "right"), (label("care.to_mm"), "right"))
    for roller, to in found.plan.diameters_mm.items():
        now = found.now_mm[roller]
        made.add_row(roller, f"{now:.2f}", label("care.stays") if to == now else f"{to:.2f}")
    console().print(made)
    a, b = found.plan.nearest
    before, after = f"{found.plan.miss_before_mm:.1f}", f"{found.plan.miss_mm:.1f}"
    click.echo(label("care.miss", a=a, b=b, before=before, after=after))
    if found.assumed:
        click.echo(label("care.least_assumed", rollers=", ".join(found.assumed)))
