"""A small fixed part of the campaign of forecasts (tests/campaigns/forecasts.py); the promise is the campaign's."""

from __future__ import annotations

import pytest

from condition.ageing_shops import HABITS
from condition.backtest import back_test


@pytest.mark.parametrize("name", ["straight lines", "all at once"])
def test_intervals_hold_what_they_say_and_are_not_wide(name: str) -> None:
    """144 covers: the part held has a deviation of 3.3 % by chance alone, and covers of one shop err together."""
    score = back_test(name, shops=12, first_seed=1000)
    assert score.settled == 1.0
    assert 0.70 <= score.coverage <= 0.90
    assert 0.70 <= score.told_coverage <= 0.90
    assert score.ratio <= 1.5


def test_shops_differ_from_each_other() -> None:
    """Each kind has a habit of its own; none is the forecaster's straight line with normal errors but the first."""
    assert len(set(HABITS.values())) == len(HABITS)
