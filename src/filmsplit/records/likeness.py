"""Jobs like another: the same unit, and near in what is printed where, with which ink, on which stock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

from filmsplit.records.jobs import JobRecord

COVERAGE_WEIGHT, STOCK_WEIGHT, INK_WEIGHT = 0.5, 0.3, 0.2
"""What each counts for (invented default): keys follow the plate, water the paper, density the ink."""

FAR = 0.05
"""Likeness of plates falls to a third with so much difference of coverage, and ends at three times that (root mean
square over the zones; invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """A job and how like it is (0..1). ``coverage_off`` is the root mean square over the zones, ``None`` where it is
    not known of both; ``same_stock`` and ``same_ink`` are ``None`` where nobody said."""

    job: JobRecord
    likeness: float
    coverage_off: float | None
    same_stock: bool | None
    same_ink: bool | None


def alike(
    jobs: Sequence[JobRecord], *, coverage: Sequence[float] = (), ink: str = "", stock: str = ""
) -> tuple[Alike, ...]:
    """The jobs ranked by likeness, equals the newest first as they came; those with nothing in common left out.

    ``coverage`` is 0..1 by zone from the operator's side. What was not asked counts for nothing; what is not known of
    a job counts as unlike.
    """
    found = [_compared(job, coverage=coverage, ink=ink, stock=stock) for job in jobs]
    return tuple(sorted((each for each in found if each.likeness > 0), key=lambda each: -each.likeness))


def _compared(job: JobRecord, *, coverage: Sequence[float], ink: str, stock: str) -> Alike:
    off = _coverage_off(job, coverage)
    same_stock, same_ink = _same(job.stock, stock), _same(job.ink, ink)
    asked = COVERAGE_WEIGHT * bool(coverage) + STOCK_WEIGHT * bool(stock) + INK_WEIGHT * bool(ink)
    near = 0.0 if off is None or off > 3 * FAR else exp(-off / FAR)
    sum_ = COVERAGE_WEIGHT * near + STOCK_WEIGHT * bool(same_stock) + INK_WEIGHT * bool(same_ink)
    likeness = sum_ / asked if asked else 0.0
    return Alike(job=job, likeness=likeness, coverage_off=off, same_stock=same_stock, same_ink=same_ink)


def _coverage_off(job: JobRecord, coverage: Sequence[float]) -> float | None:
    known = {zone.zone: zone.coverage for zone in job.zones if zone.coverage is not None}
    if not coverage or set(known) != set(range(1, len(coverage) + 1)):
        return None
    return sqrt(sum((known[zone] - each) ** 2 for zone, each in enumerate(coverage, start=1)) / len(coverage))


def _same(known: str, asked: str) -> bool | None:
    """Whether two names are one, capitals and spaces aside."""
    if not known or not asked:
        return None
    return known.casefold().split() == asked.casefold().split()
