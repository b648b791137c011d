"""The plan of a year in words and as a budget request on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.actions.year_plan import CoverLine, Money, PlanLine, What, YearPlan
from filmsplit.condition.due import IMPRESSIONS
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import label
from filmsplit.reports.typeset import Paper
from filmsplit.reports.year_plan import YearPlanSheet, year_plan_pdf

RATES = ("recover", "express", "sheet", "hour", "wash_per_litre")
STOP = ("waste_sheets", "minutes", "wash_litres", "parts")


def write_year_plan(plan: YearPlan, to: Path, *, paper: Paper, over: bool = False) -> None:
    """Write the plan with its budget request."""
    write_file(to, year_plan_pdf(_sheet(plan), paper=paper), over=over)


def month_rows(plan: YearPlan) -> Iterator[tuple[str, tuple[tuple[str, str], ...]]]:
    """Each month with its rows: orders and covers by day, what waits already, then the tasks of each press."""
    for month, together in groupby(plan.lines, key=lambda each: f"{each.on.year}-{each.on.month:02d}"):
        lines = tuple(together)
        dated = [(each.on.isoformat(), _covers_words(each, plan)) for each in lines if each.what is not What.TASK]
        tasks = [each for each in lines if each.what is What.TASK]
        waiting = [(label("year_plan.at-once"), _tasks_words(press, own)) for press, own in _by_press(tasks, True)]
        coming = [(label("year_plan.in-month"), _tasks_words(press, own)) for press, own in _by_press(tasks, False)]
        yield month, (*dated, *waiting, *coming)


def _by_press(tasks: Sequence[PlanLine], waited: bool) -> Iterator[tuple[str, tuple[PlanLine, ...]]]:
    for press in sorted({each.of for each in tasks}):
        own = tuple(each for each in tasks if each.of == press and each.waited is waited)
        if own:
            yield press, own


def _tasks_words(press: str, tasks: Sequence[PlanLine]) -> str:
    return label("year_plan.tasks", press=press, tasks=", ".join(map(_task_words, tasks)))


def _task_words(line: PlanLine) -> str:
    """A task with its day, or how often it comes from that day on; which clock, where it is not that of days."""
    kind = "task-often" if line.times > 1 else "task-once"
    words = label(f"year_plan.{kind}", task=line.task, day=f"{line.on.month:02d}-{line.on.day:02d}", times=line.times)
    return words + (" " + label("year_plan.by-count") if line.clock == IMPRESSIONS else "")


def _covers_words(line: PlanLine, plan: YearPlan) -> str:
    words = _cover_words(line, next(each for each in plan.covers if each.roller == line.of))
    return words + (" " + label("year_plan.waited") if line.waited else "")


def _cover_words(line: PlanLine, cover: CoverLine) -> str:
    values = {"roller": cover.roller, "percent": round(100 * cover.chance)}
    if line.what is What.ORDER:
        lead = label("year_plan.lead" if cover.lead_told else "year_plan.lead-assumed", days=cover.lead_days)
        return label("year_plan.order", price=_sum(cover.price), lead=lead, **values)
    return label("year_plan.cover", low=_day(cover.low), high=_day(cover.high), **values)


def cover_rows(plan: YearPlan) -> Iterator[tuple[str, ...]]:
    """Every cover: roller, crossing with its interval, chance within the year, price and its source, re-cover by."""
    for each in plan.covers:
        crossing = label("care.interval", median=_day(each.median), low=_day(each.low), high=_day(each.high))
        source = label("year_plan.told" if each.price_told else "year_plan.usual")
        best = label("year_plan.after-failure") if each.timing.on is None else each.timing.on.isoformat()
        yield each.roller, crossing, f"{round(100 * each.chance)} %", f"{_sum(each.price)} {source}", best


def sum_rows(plan: YearPlan) -> Iterator[tuple[str, str]]:
    """What to ask for, with intervals, and what a stop and 1 000 sheets cost."""
    for name, found, (low, high) in (
        ("covers", plan.covers_only, plan.covers_interval),
        ("whole", plan.with_stops, plan.stops_interval),
    ):
        values = {"expected": _sum(found.expected), "low": _sum(low), "high": _sum(high)}
        yield label(f"year_plan_sum.{name}"), label("year_plan.sum", **values)
    yield label("year_plan_sum.stop"), f"{plan.stop_cost:.2f}"
    if plan.per_1000_sheets is not None:
        yield label("year_plan_sum.per_1000"), f"{plan.per_1000_sheets:.2f}"


def price_rows(money: Money) -> Iterator[tuple[str, str]]:
    """Every number the sums rest on, with where it comes from."""
    for part, names in ((money.rates, RATES), (money.stop, STOP)):
        for name in names:
            source = label("year_plan.told" if name in money.told else "year_plan.usual")
            yield label(f"year_plan_price.{name}"), f"{getattr(part, name):g} {source}"


def without_words(plan: YearPlan) -> str:
    """The rollers that no sum counts; empty where all have a forecast."""
    return label("year_plan.without", marks=", ".join(plan.without_forecast)) if plan.without_forecast else ""


def _day(day: date | None) -> str:
    return label("care.open") if day is None else day.isoformat()


def _sum(value: float) -> str:
    return f"{value:.0f}"


def _sheet(plan: YearPlan) -> YearPlanSheet:
    presses = [find_press(each).press for each in plan.presses]
    return YearPlanSheet(
        presses=", ".join(each.name or each.id for each in presses),
        invented=any(each.invented for each in presses),
        span=label("year_plan.span", begin=plan.begin.isoformat(), end=plan.end.isoformat()),
        sums=tuple(sum_rows(plan)),
        covers=tuple(cover_rows(plan)),
        without=without_words(plan),
        months=tuple(month_rows(plan)),
        prices=tuple(price_rows(plan.money)),
    )
