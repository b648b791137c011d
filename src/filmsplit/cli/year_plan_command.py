"""`filmsplit year-plan`: what fails, what is due, what to order when, and what to ask for in the budget."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, LIMITS, ON, PAPER, RECORDS, daybook
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.actions.year_plan import Money, YearPlan

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_NOT_NEGATIVE = click.FloatRange(min=0)


@click.command("year-plan", help=label("cli_papers.year_plan"))
@click.argument("references", metavar="PRESSES", nargs=-1, required=True)
@click.option("--recover-price", "recover", type=_NOT_NEGATIVE, help=label("cli_price.recover"))
@click.option("--express-price", "express", type=_NOT_NEGATIVE, help=label("cli_price.express"))
@click.option("--sheet-price", "sheet", type=_NOT_NEGATIVE, help=label("cli_price.sheet"))
@click.option("--hour-rate", "hour", type=_NOT_NEGATIVE, help=label("cli_price.hour"))
@click.option("--wash-price", "wash_per_litre", type=_NOT_NEGATIVE, help=label("cli_price.wash_per_litre"))
@click.option("--stop-sheets", "waste_sheets", type=_NOT_NEGATIVE, help=label("cli_price.waste_sheets"))
@click.option("--stop-minutes", "minutes", type=_NOT_NEGATIVE, help=label("cli_price.minutes"))
@click.option("--stop-litres", "wash_litres", type=_NOT_NEGATIVE, help=label("cli_price.wash_litres"))
@click.option("--stop-parts", "parts", type=_NOT_NEGATIVE, help=label("cli_price.parts"))
@click.option("--sheets", type=click.FloatRange(min=0, min_open=True), help=label("cli_price.sheets"))
@click.option(
    "--to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_papers.year_plan_to")
)
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@LIMITS
@ON
@JSON
@RECORDS
def year_plan(references: tuple[str, ...], *, as_json: bool, **given: Any) -> None:
    """The plan of a year."""
    from filmsplit.actions.year_plan import year_plan as plan_of

    book = daybook(given["records"], given["day"])
    plan = plan_of(references, book=book, money=_money(given), limits=given["limits"])
    if given["to"]:
        from filmsplit.actions.year_plan_paper import write_year_plan
        from filmsplit.reports.typeset import Paper

        write_year_plan(plan, given["to"], paper=Paper(given["size"]), over=given["over"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("year-plan 1", plan=plan))
        return
    _print_plan(plan)


def _money(given: dict[str, Any]) -> Money:
    """The usual prices with those that were told in their place."""
    from dataclasses import fields, replace

    from filmsplit.actions.year_plan import Money
    from filmsplit.condition.costs import USUAL_STOP, ShopRates

    def told(part: Any) -> dict[str, float]:
        return {each.name: given[each.name] for each in fields(part) if given[each.name] is not None}

    rates, stop = told(ShopRates()), told(USUAL_STOP)
    return Money(
        rates=replace(ShopRates(), **rates),
        stop=replace(USUAL_STOP, **stop),
        told=frozenset(rates) | frozenset(stop),
        sheets=given["sheets"],
    )


def _print_plan(plan: YearPlan) -> None:
    from filmsplit.actions.year_plan_paper import cover_rows, month_rows, price_rows, sum_rows, without_words
    from filmsplit.cli.show import console, name_line, table

    out = console()
    for month, lines in month_rows(plan):
        out.print(f"[bold]{month}[/]")
        for day, said in lines:
            out.print(name_line(day, said))
    if plan.covers:
        names = ("roller", "crosses", "chance", "price", "recover")
        made = table(*((label(f"year_plan_head.{name}"), "left") for name in names))
        for row in cover_rows(plan):
            made.add_row(*row)
        out.print(made)
    if plan.without_forecast:
        click.echo(without_words(plan))
    for name, value in (*sum_rows(plan), *price_rows(plan.money)):
        out.print(name_line(name, value))
    click.echo(label("year_plan.rests-on"))
