"""Verdicts, dues and orders as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from datetime import date

import click

from filmsplit.actions.care import Forecast, PressCare, RollerCare
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, name_line, table
from filmsplit.condition.due import DueTask
from filmsplit.condition.orders import Order
from filmsplit.condition.verdict import Verdict
from filmsplit.condition.words import Measure
from filmsplit.messages import label

_LIKELY = 0.5


def print_care(found: PressCare) -> None:
    """A line a roller, then the reasons of those that are not kept, then what fails before the day asked for."""
    columns = (("roller", "left"), ("place", "left"), ("verdict", "left"), ("rise", "right"), ("crosses", "left"))
    made = table(*((label(f"care.{name}"), justify) for name, justify in columns))
    for each in found.rollers:
        place = each.position.at.place if each.position is not None and each.position.at is not None else ""
        made.add_row(each.mark, place, label(f"verdict.{each.verdict.verdict.value}"), *_forecast_cells(each.forecast))
    console().print(made)
    for each in found.rollers:
        _print_reasons(each)
    _print_unread(found.rollers)
    _print_ahead(found)


def _forecast_cells(forecast: Forecast | None) -> tuple[str, str]:
    if forecast is None:
        return "", label("care.no_forecast")
    rise = f"{forecast.rise_shore_a:.1f} ± {forecast.sigma_shore_a:.1f}"
    low, median, high = (_day(day) for day in (forecast.low, forecast.median, forecast.high))
    words = label("care.interval", median=median, low=low, high=high)
    return rise, words if forecast.began_known else label("care.from_first_reading", interval=words)


def _day(day: date | None) -> str:
    return label("care.open") if day is None else day.isoformat()


def _print_reasons(each: RollerCare) -> None:
    findings = [finding for finding in each.verdict.findings if finding.verdict is not Verdict.KEEP]
    if findings:
        click.echo(f"\n{each.mark}")
    for finding in findings:
        click.echo(problem_text(finding.problem))


def _print_unread(rollers: Sequence[RollerCare]) -> None:
    """What nobody has read, the rollers that lack the same together."""
    lacking: dict[tuple[Measure, ...], list[str]] = {}
    for each in rollers:
        if each.verdict.unread:
            lacking.setdefault(each.verdict.unread, []).append(each.mark)
    if lacking:
        click.echo("\n" + label("care.unread"))
    for measures, marks in lacking.items():
        names = ", ".join(label(f"unread.{measure.name.lower()}") for measure in measures)
        console().print(name_line(names, ", ".join(marks)))


def _print_ahead(found: PressCare) -> None:
    click.echo("")
    if not found.settled:
        click.echo(label("care.unsettled"))
    failing = [(each, each.forecast) for each in found.rollers if each.forecast and each.forecast.chance >= _LIKELY]
    until = found.until.isoformat()
    if not failing:
        click.echo(label("care.none_fails", until=until))
    for each, forecast in failing:
        values = {"mark": each.mark, "until": until, "percent": round(100 * forecast.chance)}
        click.echo(label("care.fails", **values))
        best = forecast.timing.on
        click.echo("  " + (label("care.recover_by", day=best.isoformat()) if best else label("care.recover_late")))
    if found.budget is not None:
        expected, enough = round(found.budget.expected), round(found.budget.enough)
        click.echo(label("care.budget", until=until, expected=expected, enough=enough))


def print_due(tasks: Sequence[DueTask], *, today: date) -> None:
    """A line a task, the most overdue first."""
    columns = (("task", "left"), ("last", "left"), ("due", "left"), ("by", "left"), ("rollers", "left"))
    made = table(*((label(f"care.{name}"), justify) for name, justify in columns))
    for task in tasks:
        last = label("care.never") if task.last is None else task.last.isoformat()
        made.add_row(task.task.value, last, _due(task, today), task.clock, ", ".join(task.rollers))
    console().print(made)


def _due(task: DueTask, today: date) -> str:
    late = task.overdue_days(today)
    if task.on is None or late is None:
        return label("care.now")
    if late > 0:
        return label("care.overdue", day=task.on.isoformat(), days=late)
    return task.on.isoformat()


def print_order(order: Order) -> None:
    """Everything for the supplier; what is missing; and why it cannot be made, where it cannot."""
    out = console()
    out.print(f"[bold]{order.roller}[/]  {'' if order.role is None else order.role.value}")
    for field in fields(order.drawing):
        value = getattr(order.drawing, field.name)
        if value not in (None, ""):
            out.print(name_line(label(f"order.{field.name}"), str(getattr(value, "value", value))))
    for name, said in (("inks", ", ".join(order.duty.inks)), ("wash", order.duty.wash)):
        if said:
            out.print(name_line(label(f"order.{name}"), said))
    if order.missing:
        click.echo(label("care.missing", what="; ".join(label(f"order.{name}") for name in order.missing)))
    for problem in order.problems:
        click.echo(problem_text(problem))
    click.echo(label("care.can_be_sent") if order.can_be_sent else label("care.not_to_be_sent"))
