"""When a cover crosses its limit, with an interval, and what the trend says of it on any day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from filmsplit.condition.lives import CoverLife
from filmsplit.condition.trend import Array, Trend
from filmsplit.condition.trend_terms import course, warmer_k, years

COVERAGE = 0.8
"""Part of cases in which the interval is meant to hold the true day."""

HORIZON_YEARS = 12.0
STEP_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """The rise of a cover since its first day, and its deviation."""

    on: date
    value: float
    sigma: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """When a cover crosses its limit. A day is ``None`` where it lies beyond the horizon.

    ``low`` and ``high`` hold the true day in ``coverage`` of cases, ``median`` is as likely passed as not. A day in the
    past means that it may have crossed already. Without ``began_known`` the rise counts from the first reading only,
    and the cover is nearer its limit than told.
    """

    roller: str
    began: date
    began_known: bool
    limit: float
    median: date | None
    low: date | None
    high: date | None
    coverage: float
    readings: int
    now: Level
    _days: tuple[date, ...]
    _chances: tuple[float, ...]

    def chance_by(self, on: date) -> float:
        """Chance that it has crossed by a day."""
        days = [day.toordinal() for day in self._days]
        return float(np.interp(on.toordinal(), days, self._chances, left=0.0))

    def days_and_chances(self) -> tuple[tuple[date, ...], Array]:
        """The grid of days and the chance of having crossed by each."""
        return self._days, np.array(self._chances)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ageing:
    """The rise of the cover now on a roller: as read, brought to the reference temperature, and by the trend.

    What readers and instruments read otherwise is left in ``read`` and out of ``course``.
    """

    began: date
    read: tuple[Level, ...]
    course: tuple[Level, ...]


COURSE_POINTS = 40


def ageing(trend: Trend, roller: str, *, until: date) -> Ageing:
    """The course of a cover from its first day to ``until``. ``KeyError`` where the trend knows no such roller."""
    life = trend.life_of(roller)
    start = float(trend.values[trend.terms["start", life.key]]) if life.points else 0.0
    warmth = trend.habits.likely["warmth"].mean
    read = tuple(
        Level(on=each.on, value=each.value - warmth * warmer_k(each) - start, sigma=each.sigma) for each in life.points
    )
    span = max((until - life.began).days, 1)
    days = sorted({life.began + timedelta(days=round(span * n / COURSE_POINTS)) for n in range(COURSE_POINTS + 1)})
    means, sigmas = _levels(trend, life, days)
    course_of = zip(days, means, sigmas, strict=True)
    return Ageing(
        began=life.began,
        read=read,
        course=tuple(Level(on=on, value=float(mean), sigma=float(sigma)) for on, mean, sigma in course_of),
    )


def level(trend: Trend, life: CoverLife, on: date) -> Level:
    """The rise of a cover on one day by the trend."""
    means, sigmas = _levels(trend, life, [on])
    return Level(on=on, value=float(means[0]), sigma=float(sigmas[0]))


def crossing(trend: Trend, roller: str, *, limit: float, today: date, coverage: float = COVERAGE) -> Crossing:
    """When the cover now on ``roller`` rises by ``limit``. ``KeyError`` where the trend knows no such roller.

    The chance of having crossed by a day is taken as the chance of being over the limit then: a cover that has hardened
    does not come back, so the two differ by little.
    """
    life = trend.life_of(roller)
    span = (today - life.began).days + int(HORIZON_YEARS * 365.25)
    days = [life.began + timedelta(days=n) for n in range(0, span, STEP_DAYS)]
    means, sigmas = _levels(trend, life, days)
    chances = np.maximum.accumulate([NormalDist().cdf(z) for z in (means - limit) / np.maximum(sigmas, 1e-9)])
    tail = (1 - coverage) / 2
    low, median, high = (_first(days, chances, part) for part in (tail, 0.5, 1 - tail))
    return Crossing(
        roller=roller,
        began=life.began,
        began_known=life.began_known,
        limit=limit,
        median=median,
        low=low,
        high=high,
        coverage=coverage,
        readings=len(life.points),
        now=level(trend, life, today),
        _days=tuple(days),
        _chances=tuple(float(each) for each in chances),
    )


def fails_before(crossings: Iterable[Crossing], on: date, *, chance: float = 0.5) -> tuple[Crossing, ...]:
    """Covers that have crossed by a day with at least ``chance``, the likeliest first."""
    found = [each for each in crossings if each.chance_by(on) >= chance]
    return tuple(sorted(found, key=lambda each: -each.chance_by(on)))


def _first(days: list[date], chances: Array, part: float) -> date | None:
    """The first day on which the chance reaches ``part``, between the days of the grid."""
    over = np.flatnonzero(chances >= part)
    if over.size == 0:
        return None
    n = int(over[0])
    if n == 0:
        return days[0]
    inside = (part - chances[n - 1]) / (chances[n] - chances[n - 1])
    return days[n - 1] + timedelta(days=round(STEP_DAYS * float(inside)))


def _levels(trend: Trend, life: CoverLife, days: list[date]) -> tuple[Array, Array]:
    """Means and deviations of the rise. Terms nobody has read yet keep what is likely of them beforehand."""
    last = max(point.on for each in trend.lives for point in each.points)
    means, variances = np.zeros(len(days)), np.zeros(len(days))
    rows = np.zeros((len(days), len(trend.values)))
    for number, day in enumerate(days):
        for term, size in course(life, day, bends_until=last):
            if term in trend.terms:
                rows[number, trend.terms[term]] = size
            else:
                likely = trend.habits.likely[term[0]]
                means[number] += size * likely.mean
                variances[number] += (size * trend.spreads[term[0]]) ** 2
        # Bends to come: a rate that wanders with this spread leaves s² t³ / 3 of variance (integrated random walk).
        ahead = max(years(last, day), 0.0)
        variances[number] += (trend.spreads["bend"] * trend.paces[life.compound]) ** 2 * ahead**3 / 3
    means += rows @ trend.values
    variances += np.einsum("ij,jk,ik->i", rows, trend.covariance, rows, optimize=True)
    return means, np.sqrt(np.maximum(variances, 0.0))
