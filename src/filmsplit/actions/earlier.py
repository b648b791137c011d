"""What the shop's records say to a new job: the job before on the unit, and the last water with this paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from filmsplit.actions.jobs import show
from filmsplit.actions.last_time import reasons
from filmsplit.actions.learning import Choice, learned_of
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press, Unit
from filmsplit.records.jobs import JobRecord, find_jobs
from filmsplit.records.likeness import Alike
from filmsplit.records.store import Store
from filmsplit.setup.key_scale import key_scale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.learned import Learned
from filmsplit.setup.limits import limits_on
from filmsplit.setup.readings import openings_of
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.water import WaterRecord, WaterStart, water_start
from filmsplit.studies.job_question import EarlierJob

LEARNED_FROM = 6
"""Newest jobs that the keys are learned from: each takes about half a second, and five bring the first sheet within
0.08 D (measured: docs/performance.md)."""

MOST_JOBS = 1000
"""Jobs of a press looked through for its water, the newest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """The job before on a unit: what it left on the rollers, and of which ink (empty: nobody said)."""

    ink: str
    job: EarlierJob


def earlier_of(code: str, *, press: Press, unit: Unit, records: Path | None) -> Earlier:
    """The job on record under ``code`` as what the rollers of ``unit`` were left with.

    :class:`Refusal` where there is none, where it was printed elsewhere, or where keys or coverage were not recorded.
    """
    if records is None:
        raise ValueError("a job on record is looked for without records")
    job = show(records, code)
    if (job.press, job.unit) != (press.id, unit.id):
        values = {"code": job.code, "was": f"{job.press} {job.unit}", "unit": f"{press.id} {unit.id}"}
        raise Refusal(Problem("setup-earlier-elsewhere", values))
    fountain = unit.fountain
    assert fountain is not None
    coverage, keys = [zone.coverage for zone in job.zones], [zone.key for zone in job.zones]
    if len(job.zones) != len(fountain.zone_widths_mm) or None in coverage or None in keys:
        raise Refusal(Problem("setup-earlier-incomplete", {"code": job.code}))
    scale, coupling = key_scale(fountain), limits_on(fountain.blade).coupling
    openings = openings_of(np.array(keys, dtype=np.float64), scale)
    sweep_mm = None if job.sweep is None else sweep_range(fountain.sweep, unit=unit.id).mm_per_division * job.sweep
    left = EarlierJob(
        coverage=tuple(float(share or 0.0) for share in coverage),
        key_films_um=np.asarray(films_per_opening(scale.full_um, coupling=coupling) @ openings),
        sweep_mm=sweep_mm,
    )
    return Earlier(ink=job.ink, job=left)


def water_of(press: Press, unit: Unit, *, paper: str, records: Path | None) -> WaterStart:
    """The last water of this unit with this paper; without a record, what comes first instead."""
    found = []
    if paper and records is not None and records.is_file():
        with Store.at(records).read() as connection:
            jobs = find_jobs(connection, press=press.id, words=(paper,), most=MOST_JOBS)
        found = [_water(job) for job in jobs if job.water is not None]
    return water_start(found, press=press.id, unit=unit.id, paper=paper or label("setup_page.this_paper"))


def _water(job: JobRecord) -> WaterRecord:
    return WaterRecord(press=job.press, unit=job.unit, paper=job.stock, day=job.printed_on, setting=f"{job.water:.4g}")


def learned_keys(press: Press, unit: Unit, records: Path | None) -> Learned | None:
    """The keys as the log has taught them; ``None`` without a log, or where it tells nothing."""
    if records is None or not records.is_file():
        return None
    return learned_of(press, unit, records, choice=Choice(most=LEARNED_FROM)).learned


def told_alike(jobs: Sequence[Alike]) -> Iterator[str]:
    """Jobs like the one to be set, in lines: which, why, their settings, and how soon they were good."""
    for found in jobs:
        job = found.job
        values = {"day": job.printed_on.isoformat(), "title": job.title, "code": job.code, "why": reasons(found)}
        yield label("setup_last.job", **values)
        for name in ("sweep", "water", "sheets_to_ok"):
            if getattr(job, name) is not None:
                yield label(f"setup_last.{name}", value=f"{getattr(job, name):.4g}")
        keys = [zone.key for zone in job.zones]
        if keys and None not in keys:
            yield label("setup_last.keys", keys=" · ".join(f"{key:.4g}" for key in keys))
