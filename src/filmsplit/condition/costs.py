"""What a stop costs, what a roller costs per 1 000 sheets, when to re-cover, and what to ask for in a year's budget.

Money is in whatever the shop counts in; nothing here knows a currency.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from filmsplit.condition.forecast import Crossing


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopRates:
    """The five numbers of a shop (invented defaults in the range of a small one; change them)."""

    sheet: float = 0.05
    hour: float = 50.0
    wash_per_litre: float = 6.0
    recover: float = 120.0
    """A cover for one small roller, where its own price is not known."""
    express: float = 60.0
    """What an order in a hurry costs more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """What one stop for a roller takes."""

    waste_sheets: float
    minutes: float
    wash_litres: float = 0.0
    parts: float = 0.0


USUAL_STOP = Stop(waste_sheets=60, minutes=45, wash_litres=0.3)
"""Make-ready waste of 30 to 80 sheets, a wash-up of 10 to 25 min and a setting (common practice)."""


def cost_of_stop(stop: Stop, rates: ShopRates) -> float:
    """Sheets, time, wash and parts."""
    return (
        stop.waste_sheets * rates.sheet
        + stop.minutes / 60 * rates.hour
        + stop.wash_litres * rates.wash_per_litre
        + stop.parts
    )


def cost_per_1000_sheets(cost: float, sheets: float) -> float:
    """``ValueError`` where nothing was printed: no cost per sheet can be told."""
    if sheets <= 0:
        raise ValueError("needs sheets that were printed")
    return 1000 * cost / sheets


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoverTiming:
    """When a re-cover costs least in the long run. Costs are per day of a cover's life.

    ``on`` is ``None`` where waiting for the failure costs least: an unplanned stop is then no dearer than a planned one
    is early.
    """

    on: date | None
    per_day_now: float
    per_day_best: float
    chance_by_then: float

    @property
    def is_now(self) -> bool:
        return self.on is not None and self.per_day_now <= self.per_day_best


def when_to_recover(crossing: Crossing, *, today: date, planned: float, unplanned: float) -> RecoverTiming:
    """The day from today on with the lowest long-run cost per day: age replacement.

    A cover replaced at age t costs ``planned`` (cover and stop) and, with the chance that it failed before,
    ``unplanned`` more; it lasts for the mean of the smaller of t and its life (Barlow & Proschan, Mathematical Theory
    of Reliability (1965), memory). Later than the forecast reaches, nothing is planned.
    """
    days, chances = crossing.days_and_chances()
    ages = np.array([(day - crossing.began).days for day in days], dtype=float)
    lives = np.concatenate([[0.0], np.cumsum((1 - (chances[1:] + chances[:-1]) / 2) * np.diff(ages))])
    rates = (planned + chances * unplanned) / np.maximum(lives, 1.0)
    open_days = np.flatnonzero([day >= today for day in days])
    best = int(open_days[np.argmin(rates[open_days])])
    never = best == len(days) - 1
    return RecoverTiming(
        on=None if never else days[best],
        per_day_now=float(rates[open_days[0]]),
        per_day_best=float(rates[best]),
        chance_by_then=float(chances[best]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """One roller in a year's budget: the chance that its cover is due within it, and what that costs."""

    roller: str
    chance: float
    price: float
    order_by: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """A year's request: what to expect, and what is enough in four years of five."""

    lines: tuple[BudgetLine, ...]
    until: date
    expected: float
    enough: float

    def interval(self, coverage: float = 0.8) -> tuple[float, float]:
        """Between what two sums the covers cost with that chance: rollers independent, sums to whole units of money.

        Exact for what it assumes, by adding one roller at a time (the distribution of a sum of two-point costs).
        """
        chances = {0: 1.0}
        for line in self.lines:
            price, grown = round(line.price), dict[int, float]()
            for cost, chance in chances.items():
                grown[cost] = grown.get(cost, 0.0) + chance * (1 - line.chance)
                grown[cost + price] = grown.get(cost + price, 0.0) + chance * line.chance
            chances = grown
        tail = (1 - coverage) / 2
        return float(_quantile(chances, tail)), float(_quantile(chances, 1 - tail))


def _quantile(chances: Mapping[int, float], part: float) -> int:
    """The least cost that is not exceeded with a chance of ``part``."""
    total = 0.0
    for cost in sorted(chances):
        total += chances[cost]
        if total >= part - 1e-12:
            return cost
    return max(chances)


ENOUGH = 0.8


def budget(
    crossings: Sequence[Crossing],
    *,
    until: date,
    prices: Mapping[str, float],
    lead_days: Mapping[str, int],
    rates: ShopRates,
) -> Budget:
    """Covers that may be due until a day, the likeliest first.

    What is enough treats rollers as independent of each other and the sum as normal: with few rollers, or a wash that
    hardens all of them, the sum spreads wider.
    """
    lines = []
    for each in crossings:
        early = each.low
        order_by = None if early is None else early - timedelta(days=lead_days.get(each.roller, 0))
        price = prices.get(each.roller, rates.recover)
        lines.append(BudgetLine(roller=each.roller, chance=each.chance_by(until), price=price, order_by=order_by))
    expected = sum(line.chance * line.price for line in lines)
    variance = sum(line.chance * (1 - line.chance) * line.price**2 for line in lines)
    return Budget(
        lines=tuple(sorted(lines, key=lambda line: -line.chance)),
        until=until,
        expected=expected,
        enough=expected + NormalDist().inv_cdf(ENOUGH) * math.sqrt(variance),
    )
