"""Last time: jobs of this unit that were like this one, with the keys, sweep and water they ended with."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from filmsplit.actions.job_train import coverage_of
from filmsplit.actions.jobs import find, show
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.likeness import Alike, alike

SEARCHED = 500
"""The newest jobs of a unit that are looked through."""

MOST_ALIKE = 5


def last_time(  # noqa: PLR0913  (all but one are named)
    records: Path,
    *,
    press: str,
    unit: str,
    coverage: Sequence[float] = (),
    ink: str = "",
    stock: str = "",
    but: str = "",
    most: int = MOST_ALIKE,
) -> tuple[Alike, ...]:
    """Jobs of a unit (ids, as on record) ranked by likeness: plate (0..1 by zone), ink, stock. Looking makes no file.

    Each has its keys, sweep, water and sheets to OK in ``job``.
    """
    jobs = [job for job in find(records, press=press, unit=unit, most=SEARCHED) if job.code != but]
    return alike(jobs, coverage=coverage, ink=ink, stock=stock)[:most]


def like_job(records: Path, code: str) -> tuple[Alike, ...]:
    """Jobs like the one on record as ``code``; :class:`Refusal` as ``show``, or where nothing is known to go by."""
    job = show(records, code)
    coverage = coverage_of(job) if any(zone.coverage for zone in job.zones) else ()
    if not (coverage or job.ink or job.stock):
        raise Refusal(Problem("job-nothing-to-compare", {"code": job.code}))
    return last_time(
        records, press=job.press, unit=job.unit, coverage=coverage, ink=job.ink, stock=job.stock, but=job.code
    )


def reasons(found: Alike) -> str:
    """Why a job is called like, in words."""
    words = [] if found.coverage_off is None else [label("alike.coverage", percent=f"{100 * found.coverage_off:.1f}")]
    if found.same_stock:
        words.append(label("alike.stock"))
    if found.same_ink:
        words.append(label("alike.ink"))
    return ", ".join(words)
