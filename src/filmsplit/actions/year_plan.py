"""The plan of a year: what fails, what is due, what to order when, and what to ask for in the budget."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from pathlib import Path

from filmsplit.actions.care import crossings_of
from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.care_spares import USUAL_LEAD_DAYS
from filmsplit.actions.find import find_press
from filmsplit.actions.register import Daybook, looking
from filmsplit.condition.costs import (
    USUAL_STOP,
    Budget,
    RecoverTiming,
    ShopRates,
    Stop,
    budget,
    cost_of_stop,
    cost_per_1000_sheets,
    when_to_recover,
)
from filmsplit.condition.due import due_board, step_days
from filmsplit.condition.forecast import Crossing
from filmsplit.condition.limits import CareTable
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal

DAYS = 365
USUAL_RATES = ShopRates()
LEAST_CHANCE = 0.1
"""A cover that is less likely than that to be due within the year is not in the dated list; the budget counts it."""


class What(Enum):
    """The kinds of lines of a plan, in the order in which they stand on one day."""

    ORDER = "order"
    COVER = "cover"
    TASK = "task"


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """The shop's prices and what a stop takes; ``told`` names those that the shop said, the others are usual."""

    rates: ShopRates = USUAL_RATES
    stop: Stop = USUAL_STOP
    told: frozenset[str] = frozenset()
    sheets: float | None = None
    """Sheets printed in the year; ``None`` where nobody said, and no cost per sheet is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLine:
    """One line: ``of`` is a roller's mark or a press. ``times`` a task comes in that month; by which ``clock``."""

    on: date
    what: What
    of: str
    task: str = ""
    times: int = 1
    clock: str = ""
    waited: bool = False
    """Whether its day lies before the plan begins, or it was never done: it is due at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverLine:
    """One cover: when it crosses, the chance within the year, when to order and when a re-cover costs least."""

    roller: str
    low: date | None
    median: date | None
    high: date | None
    chance: float
    price: float
    price_told: bool
    order_by: date | None
    lead_days: int
    lead_told: bool
    timing: RecoverTiming


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPlan:
    """``covers_only`` is for the supplier, ``with_stops`` counts a planned stop for each cover too."""

    presses: tuple[str, ...]
    begin: date
    end: date
    lines: tuple[PlanLine, ...]
    covers: tuple[CoverLine, ...]
    without_forecast: tuple[str, ...]
    money: Money
    stop_cost: float
    covers_only: Budget
    covers_interval: tuple[float, float]
    with_stops: Budget
    stops_interval: tuple[float, float]
    per_1000_sheets: float | None


def year_plan(
    references: Sequence[str], *, book: Daybook, money: Money | None = None, limits: Path | None = None
) -> YearPlan:
    """The plan for the year that begins on the day of the book. Reads the records, writes nothing."""
    said, table = money or Money(), care_table(limits)
    presses = tuple(dict.fromkeys(find_press(each).press.id for each in references))
    with looking(book) as connection:
        shop = shop_history(connection, book.day)
    mine = [each for each in shop.rollers if each.press in presses]
    if not mine:
        raise Refusal(Problem("care-no-rollers", {"press": ", ".join(presses)}))
    soft = {each.id for each in mine if each.is_soft}
    found = {mark: each for mark, each in crossings_of(shop, table=table, today=book.day).items() if mark in soft}
    end = book.day + timedelta(days=DAYS)
    covers = tuple(_cover(each, shop, money=said, span=(book.day, end)) for each in found.values())
    tasks = [line for press in presses for line in _tasks(shop, press, table=table, span=(book.day, end))]
    lines = [*tasks, *_dated(covers, begin=book.day, end=end)]
    stop_cost = cost_of_stop(said.stop, said.rates)
    only = _budget(found, covers, end=end, extra=0.0)
    whole = _budget(found, covers, end=end, extra=stop_cost)
    return YearPlan(
        presses=presses,
        begin=book.day,
        end=end,
        lines=tuple(sorted(lines, key=lambda each: (each.on, list(What).index(each.what), each.of, each.task))),
        covers=tuple(sorted(covers, key=lambda each: (-each.chance, each.roller))),
        without_forecast=tuple(sorted(soft - set(found))),
        money=said,
        stop_cost=stop_cost,
        covers_only=only,
        covers_interval=only.interval(),
        with_stops=whole,
        stops_interval=whole.interval(),
        per_1000_sheets=None if said.sheets is None else cost_per_1000_sheets(whole.expected, said.sheets),
    )


def _cover(found: Crossing, shop: ShopHistory, *, money: Money, span: tuple[date, date]) -> CoverLine:
    facts, rates = shop.facts[found.roller], money.rates
    price = rates.recover if facts.price is None else facts.price
    lead = USUAL_LEAD_DAYS if facts.lead_time_days is None else facts.lead_time_days
    stop = cost_of_stop(money.stop, rates)
    timing = when_to_recover(found, today=span[0], planned=price + stop, unplanned=stop + rates.express)
    return CoverLine(
        roller=found.roller,
        low=found.low,
        median=found.median,
        high=found.high,
        chance=found.chance_by(span[1]),
        price=price,
        price_told=facts.price is not None or "recover" in money.told,
        order_by=None if found.low is None else found.low - timedelta(days=lead),
        lead_days=lead,
        lead_told=facts.lead_time_days is not None,
        timing=timing,
    )


def _budget(found: Mapping[str, Crossing], covers: Sequence[CoverLine], *, end: date, extra: float) -> Budget:
    prices = {each.roller: each.price + extra for each in covers}
    leads = {each.roller: each.lead_days for each in covers}
    return budget(tuple(found.values()), until=end, prices=prices, lead_days=leads, rates=ShopRates())


def _dated(covers: Sequence[CoverLine], *, begin: date, end: date) -> Iterator[PlanLine]:
    """When to order, and when the cover is as likely as not to have crossed; what is past stands on the first day."""
    for each in covers:
        if each.chance < LEAST_CHANCE:
            continue
        for what, on in ((What.ORDER, each.order_by), (What.COVER, each.median)):
            if on is not None and on <= end:
                yield PlanLine(on=max(on, begin), what=what, of=each.roller, waited=on < begin)


def _tasks(shop: ShopHistory, press: str, *, table: CareTable, span: tuple[date, date]) -> Iterator[PlanLine]:
    """Every task of a press, one line a month in which it comes, on its first day there."""
    begin, end = span
    log = shop.log(press)
    for task in due_board(log, table, today=begin):
        first = begin if task.on is None else max(task.on, begin)
        step = step_days(task, log, today=begin)
        days = [first]
        while step is not None and days[-1] + timedelta(days=step) <= end:
            days.append(days[-1] + timedelta(days=step))
        months: dict[tuple[int, int], list[date]] = {}
        for day in days:
            if day <= end:
                months.setdefault((day.year, day.month), []).append(day)
        for own in months.values():
            yield PlanLine(
                on=own[0],
                what=What.TASK,
                of=press,
                task=task.task.value,
                times=len(own),
                clock=task.clock,
                waited=own[0] == first and (task.on is None or task.on < begin),
            )
