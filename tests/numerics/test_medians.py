"""The scatter of a median, against its exact distribution: an order statistic of normal values (integrated here)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from filmsplit.numerics.medians import median_sd


def exact_sd(count: int) -> float:
    """For an odd number of standard normal values: the middle one has density n! / (k!)² Φᵏ (1 − Φ)ᵏ φ."""
    k = (count - 1) // 2
    factor = math.factorial(count) / math.factorial(k) ** 2
    variance, _ = quad(lambda x: x**2 * factor * (norm.cdf(x) * norm.sf(x)) ** k * norm.pdf(x), -10, 10)
    return math.sqrt(variance)


@pytest.mark.parametrize("count", [1, 3, 5, 7, 25])
def test_odd_numbers_within_one_percent(count: int) -> None:
    assert median_sd([0.0] * count, least_sd=1.0, sd_of_few=1.0) == pytest.approx(exact_sd(count), rel=0.0105)


@pytest.mark.parametrize("count", [2, 4, 6, 10])
def test_even_numbers_never_too_narrow(count: int) -> None:
    """By drawing: 400 000 medians."""
    drawn = np.median(np.random.default_rng(7).normal(size=(400_000, count)), axis=1).std()
    told = median_sd([0.0] * count, least_sd=1.0, sd_of_few=1.0)
    assert drawn <= told <= 1.12 * drawn


def test_five_readings_that_scatter_by_one_and_a_half_points() -> None:
    """About ± 0.8 points, one standard deviation (derived in trade notes from the same law)."""
    assert median_sd([0.0] * 5, least_sd=1.5, sd_of_few=0.0) == pytest.approx(0.8, abs=0.01)


def test_the_scatter_of_the_values_counts_once_it_can_be_seen() -> None:
    assert median_sd([1, 2, 3], least_sd=0.1, sd_of_few=9) == pytest.approx(exact_sd(3), rel=0.0105)
    assert median_sd([1, 3], least_sd=0.1, sd_of_few=9) > 5
    with pytest.raises(ValueError, match="no values"):
        median_sd([], least_sd=1, sd_of_few=1)
