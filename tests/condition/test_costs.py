"""Costs by hand, and replacement ages against the exact rule."""

from __future__ import annotations

from datetime import timedelta
from statistics import NormalDist

import numpy as np
import pytest

from condition.histories import day
from filmsplit.condition.costs import (
    Budget,
    BudgetLine,
    ShopRates,
    Stop,
    budget,
    cost_of_stop,
    cost_per_1000_sheets,
    when_to_recover,
)
from filmsplit.condition.forecast import Crossing, Level

TODAY = day(300)


def certain(mean_days: float, sigma_days: float, *, roller: str = "F1") -> Crossing:
    """A crossing whose day is normal about a mean."""
    days = tuple(day(n) for n in range(0, 4000, 7))
    chances = tuple(NormalDist(mean_days, sigma_days).cdf(n) for n in range(0, 4000, 7))
    middle = day(0) + timedelta(days=round(mean_days))
    spread = timedelta(days=round(1.2816 * sigma_days))
    return Crossing(
        roller=roller,
        began=day(0),
        began_known=True,
        limit=10.0,
        median=middle,
        low=middle - spread,
        high=middle + spread,
        coverage=0.8,
        readings=10,
        now=Level(on=TODAY, value=3.0, sigma=1.0),
        _days=days,
        _chances=chances,
    )


def test_a_stop_and_a_thousand_sheets() -> None:
    rates = ShopRates(sheet=0.05, hour=60.0, wash_per_litre=6.0)
    # 60 sheets at 0.05, half an hour at 60, half a litre at 6, parts 10 (arithmetic).
    assert cost_of_stop(Stop(waste_sheets=60, minutes=30, wash_litres=0.5, parts=10.0), rates) == pytest.approx(46.0)
    assert cost_per_1000_sheets(120.0, 400_000) == pytest.approx(0.3)
    with pytest.raises(ValueError, match="sheets"):
        cost_per_1000_sheets(120.0, 0)


def test_the_replacement_age_is_that_of_the_rule() -> None:
    """The minimum of (c + k F(t)) / integral of (1 - F): Barlow & Proschan 1965 (memory), found here on a fine grid."""
    found = when_to_recover(certain(1000, 150), today=TODAY, planned=150, unplanned=450)
    ages = np.linspace(1, 3999, 39_990)
    failed = np.array([NormalDist(1000, 150).cdf(float(age)) for age in ages])
    lives = np.concatenate([[1.0], 1.0 + np.cumsum((1 - failed[1:]) * np.diff(ages))])
    best = ages[np.argmin((150 + 450 * failed) / lives)]
    assert found.on is not None
    assert (found.on - day(0)).days == pytest.approx(best, abs=14)
    assert found.per_day_best < found.per_day_now
    assert not found.is_now


def test_a_dear_failure_brings_it_forward_and_a_cheap_one_lets_it_run() -> None:
    dear = when_to_recover(certain(1000, 150), today=TODAY, planned=150, unplanned=4000)
    middling = when_to_recover(certain(1000, 150), today=TODAY, planned=150, unplanned=300)
    cheap = when_to_recover(certain(1000, 150), today=TODAY, planned=150, unplanned=0)
    assert dear.on is not None
    assert middling.on is not None
    assert dear.on < middling.on
    assert cheap.on is None or cheap.on > middling.on


def test_what_is_past_its_time_is_done_now() -> None:
    found = when_to_recover(certain(200, 30), today=TODAY, planned=150, unplanned=450)
    assert found.is_now or found.on is None
    assert found.chance_by_then > 0.99


def test_a_budget_is_chances_times_prices() -> None:
    year_end = day(1000)
    found = budget(
        [certain(1000, 150, roller="A"), certain(700, 50, roller="B"), certain(3000, 100, roller="C")],
        until=year_end,
        prices={"A": 100.0, "B": 200.0},
        lead_days={"B": 30},
        rates=ShopRates(recover=150.0),
    )
    assert [line.roller for line in found.lines] == ["B", "A", "C"]
    # Half of 100, all of 200, none of 150; spread only of A: 0.8416 x 100 x 0.5 (normal table).
    assert found.expected == pytest.approx(250, abs=1)
    assert found.enough == pytest.approx(250 + 0.8416 * 50, abs=1)
    assert found.lines[0].order_by == day(700 - 64 - 30)


def test_the_interval_of_a_sum_is_that_of_independent_covers() -> None:
    """Three covers of 100, each due or not like a coin: 0 to 3 of them with 1, 3, 3, 1 eighths (binomial)."""
    coins = tuple(BudgetLine(roller=each, chance=0.5, price=100.0, order_by=None) for each in "ABC")
    found = Budget(lines=coins, until=day(0), expected=150.0, enough=0.0)
    assert found.interval(0.8) == (0.0, 300.0)  # 12.5 % lie at each end, more than the tenth that may be left out
    assert found.interval(0.7) == (100.0, 200.0)
    assert Budget(lines=(), until=day(0), expected=0.0, enough=0.0).interval() == (0.0, 0.0)
