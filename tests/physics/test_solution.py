"""Fountain solution against the outside: the titration line, the dose read from it, the rise that asks for a change.

Sources: PIA guidance on conductivity (memory): change at a rise of more than 500 µmho/cm over the fresh solution, and
conductivity of fresh solution rises evenly with the dose. The Theil-Sen line and its breakdown: Theil 1950, Sen 1968
(memory). Outside facts are exact here: the tolerances are those of rounding.
"""

from __future__ import annotations

from datetime import date
from itertools import combinations
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.condition.solution import MOST_RISE_US_PER_CM, Sample, Where, judge_solution
from filmsplit.condition.solution_bands import SolutionBands
from filmsplit.condition.titration import Dosed, TitrationLine, titration_line
from filmsplit.condition.verdict import Verdict
from filmsplit.messages import Refusal

WATER, STEP = 310.0, 380.0
DAY = date(2026, 5, 4)


def read(*values: float) -> list[Dosed]:
    return [Dosed(dose_percent=float(dose), us_per_cm=value) for dose, value in enumerate(values)]


def line() -> TitrationLine:
    return titration_line(read(*(WATER + STEP * dose for dose in range(5))))


def sample(us_per_cm: float, *, fresh: bool = False, alcohol: float | None = None) -> Sample:
    return Sample(day=DAY, press="heron", where=Where.PAN, fresh=fresh, us_per_cm=us_per_cm, alcohol_percent=alcohol)


def verdict_of(*samples: Sample) -> tuple[Verdict | None, float | None]:
    judged = judge_solution(samples, SolutionBands(), written="µS/cm")
    return judged.verdict, judged.last.rise_us_per_cm if judged.last else None


def test_the_worked_example_of_the_guidance() -> None:
    """Water 310, +380 for each 1 %, pan 1450: dose 3.0 %. Now 2020, +570: change."""
    assert line().dose_of(1450.0) == pytest.approx(3.0, abs=1e-12)
    assert verdict_of(sample(1450.0, fresh=True), sample(2020.0)) == (Verdict.ACT, 570.0)


def test_the_guide_is_a_rise_over_500() -> None:
    assert MOST_RISE_US_PER_CM == 500.0
    assert verdict_of(sample(1450.0, fresh=True), sample(1950.0))[0] is Verdict.KEEP
    assert verdict_of(sample(1450.0, fresh=True), sample(1951.0))[0] is Verdict.ACT


@pytest.mark.parametrize("slipped", range(5))
def test_one_slip_of_five_moves_the_line_no_further_than_its_neighbours_and_is_named(slipped: int) -> None:
    """Ten slopes, four of them spoiled: the median is one of the six good ones (breakdown of Theil-Sen 29 %)."""
    values = [WATER + STEP * dose for dose in range(5)]
    values[slipped] += 300.0
    found = titration_line(read(*values))
    assert found.step_us_per_cm == pytest.approx(STEP, abs=1e-9)
    assert found.water_us_per_cm == pytest.approx(WATER, abs=1e-9)
    assert found.off_at_percent == slipped
    assert not found.is_straight


def test_a_tenth_of_a_step_is_the_most_a_reading_may_lie_off() -> None:
    for off, straight in ((37.0, True), (39.0, False)):
        values = [WATER + STEP * dose for dose in range(5)]
        values[2] += off
        assert titration_line(read(*values)).is_straight is straight


LIKELY = st.lists(st.floats(100.0, 3000.0), min_size=3, max_size=8)


@given(LIKELY)
def test_the_line_is_the_median_of_all_slopes(values: list[float]) -> None:
    """By the definition itself, written out again; a line that does not rise is refused."""
    slopes = [(b - a) / (j - i) for (i, a), (j, b) in combinations(enumerate(values), 2)]
    if median(slopes) <= 0:
        with pytest.raises(Refusal):
            titration_line(read(*values))
        return
    assert titration_line(read(*values)).step_us_per_cm == pytest.approx(median(slopes))


@pytest.mark.parametrize(
    ("readings", "slug"),
    [
        (read(310.0, 690.0), "solution-line-few-doses"),
        ([*read(310.0, 690.0), *read(312.0, 695.0)], "solution-line-few-doses"),
        ([], "solution-line-few-doses"),
        (read(310.0, 310.0, 310.0), "solution-line-does-not-rise"),
        (read(1450.0, 1070.0, 690.0), "solution-line-does-not-rise"),
        (read(310.0, float("nan"), 1070.0, float("nan")), "solution-line-does-not-rise"),
    ],
)
def test_no_line_is_drawn_where_there_is_none(readings: list[Dosed], slug: str) -> None:
    with pytest.raises(Refusal) as refusal:
        titration_line(readings)
    assert [each.slug for each in refusal.value.problems] == [slug]


def test_alcohol_in_one_of_two_samples_forbids_the_comparison() -> None:
    """Alcohol lowers conductivity (common practice), so a rise would be hidden by it or made by its going."""
    verdict, rise = verdict_of(sample(1450.0, fresh=True, alcohol=8.0), sample(2020.0))
    assert (verdict, rise) == (Verdict.WATCH, None)
    assert verdict_of(sample(1250.0, fresh=True, alcohol=8.0), sample(1820.0, alcohol=8.0)) == (Verdict.ACT, 570.0)
