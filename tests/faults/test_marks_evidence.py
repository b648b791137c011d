"""The evidence of a lattice against a multivariate normal and least squares worked another way."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from filmsplit.faults.evidence import counts_within, fit, log_evidence, log_evidence_any_repeat


def _case(seed: int) -> tuple[list[float], tuple[int, ...], float, float, float]:
    rng = random.Random(seed)
    number = rng.randint(2, 6)
    counts = (0, *sorted(rng.sample(range(1, 12), number - 1)))
    repeat, sd, reading = rng.uniform(50, 200), rng.uniform(0, 2), rng.uniform(0.2, 1)
    places = [100 + count * repeat + rng.gauss(0, reading) for count in counts]
    return places, counts, repeat + rng.gauss(0, sd), sd, reading


@pytest.mark.parametrize("seed", range(12))
def test_log_evidence_is_the_normal_density_of_the_differences(seed: int) -> None:
    # Source: linear algebra. Differences from the first place have mean k * repeat and covariance
    # reading^2 (I + 1 1') + sd^2 k k'; numpy's determinant and inverse against the closed form (1e-9).
    places, counts, repeat, sd, reading = _case(seed)
    k = np.array(counts[1:], float)
    rest = np.array(places[1:]) - places[0] - k * repeat
    covariance = reading**2 * (np.eye(len(k)) + 1) + sd**2 * np.outer(k, k)
    sign, log_det = np.linalg.slogdet(2 * math.pi * covariance)
    expected = -0.5 * (rest @ np.linalg.solve(covariance, rest)) - 0.5 * log_det
    assert sign == 1
    ours = log_evidence(places, counts, repeat_mm=repeat, sd_mm=sd, reading_sd_mm=reading)
    assert ours == pytest.approx(float(expected), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_unknown_repeat_integrates_over_all_of_them(seed: int) -> None:
    # Source: calculus. Sum of the density at known repeats over a fine grid; the closed form takes the prior as flat
    # over the narrow peak, hence 1 %.
    places, counts, _, _, reading = _case(seed)
    middle = fit(places, counts, reading_sd_mm=reading)
    grid = np.linspace(middle.repeat_mm - 8 * middle.repeat_sd_mm, middle.repeat_mm + 8 * middle.repeat_sd_mm, 2001)
    density = [
        math.exp(log_evidence(places, counts, repeat_mm=float(c), sd_mm=0.0, reading_sd_mm=reading)) / c for c in grid
    ]
    total = sum(density) * (grid[1] - grid[0]) / math.log(1000 / 3)
    ours = log_evidence_any_repeat(places, counts, reading_sd_mm=reading, shortest_mm=3, longest_mm=1000)
    assert math.exp(ours) == pytest.approx(total, rel=0.01)


@pytest.mark.parametrize("seed", range(6))
def test_fit_is_the_straight_line_through_the_places(seed: int) -> None:
    # Source: numpy.polyfit with the covariance of equal known errors.
    places, counts, _, _, reading = _case(seed)
    slope, start = np.polyfit(counts, places, 1)
    spread = np.sum((np.array(counts) - np.mean(counts)) ** 2)
    ours = fit(places, counts, reading_sd_mm=reading)
    assert ours.repeat_mm == pytest.approx(float(slope))
    assert ours.place_mm(0) == pytest.approx(float(start))
    assert ours.repeat_sd_mm == pytest.approx(reading / math.sqrt(spread))


def test_known_repeat_is_held_and_a_doubtful_one_gives_way() -> None:
    places = [0.0, 101.0, 202.0]
    held = fit(places, (0, 1, 2), reading_sd_mm=0.5, repeat_mm=100.0, sd_mm=0.0)
    free = fit(places, (0, 1, 2), reading_sd_mm=0.5, repeat_mm=100.0, sd_mm=100.0)
    assert held.repeat_mm == 100.0
    assert held.repeat_sd_mm == 0.0
    assert free.repeat_mm == pytest.approx(101.0, abs=0.001)


def test_counts_follow_what_the_repeat_allows() -> None:
    ways = counts_within([0.0, 340.0], 170.0, 1.0, reading_sd_mm=0.5)
    assert [counts for counts, _ in ways] == [(0, 2)]
    assert counts_within([0.0, 300.0], 170.0, 1.0, reading_sd_mm=0.5) == []
    assert counts_within([0.0, 0.0], 170.0, 1.0, reading_sd_mm=0.5) == []


def test_a_great_many_ways_are_thinned_without_losing_weight() -> None:
    every = counts_within([0.0, 20000.0], 150.0, 25.0, reading_sd_mm=0.5)
    ways = sum(weight for _, weight in every)
    assert len(every) <= 101
    # Whole numbers between 20000/(150 + 4.5*25) and 20000/(150 - 4.5*25), within one stride.
    assert ways == pytest.approx(20000 / 37.5 - 20000 / 262.5, abs=2 * every[0][1])
