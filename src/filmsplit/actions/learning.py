"""What the log has taught of a press: computed afresh from the records each time, so that there is no second truth."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from filmsplit.actions.density_ways import Way, differing, sheet_read, way_of
from filmsplit.actions.find import find_press
from filmsplit.actions.job_train import curve_of, fountain_of, keys_of, lacking, settling, train_of
from filmsplit.actions.jobs import find
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.words import KeyKind
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.as_set import as_set
from filmsplit.setup.correct import Measured
from filmsplit.setup.job_log import LoggedJob
from filmsplit.setup.key_scale import KeyScale, Origin, key_scale
from filmsplit.setup.learn import Priors
from filmsplit.setup.learned import COVERAGE, Learned, learn
from filmsplit.setup.limits import limits_on
from filmsplit.setup.split import split_sides
from filmsplit.simulation.settle import settle

KIND = "learned 1"
"""What the answer calls itself as JSON."""

MOST_JOBS = 20
"""The newest jobs that are learned from: each takes a second or so, and older ones tell of older keys."""

ACCURACY = 1e-3
"""Of the settled print: a densitometer reads a film to some percent."""

PRESS_ASSUMED = 0.6
"""One deviation of the logarithm of the mean gain where nobody knew the film of a key (invented default)."""

REMEMBERED = 256
"""Jobs worked out that one run of the program remembers: they stay as they were logged."""

Done = Callable[[int, int], None]
"""Told how many jobs of how many have been worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobUsed:
    """A job on record and, where nothing was learned from it, why not."""

    code: str
    day: str
    title: str
    left_out: Problem | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLearned:
    """One unit. ``learned`` is ``None`` where no job on record tells anything; ``jobs`` are the newest first."""

    press: str
    unit: str
    invented: bool
    key_kind: KeyKind
    learned: Learned | None
    jobs: tuple[JobUsed, ...]
    notes: tuple[Problem, ...]

    @property
    def used(self) -> tuple[JobUsed, ...]:
        """Jobs that were learned from."""
        return tuple(job for job in self.jobs if job.left_out is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which jobs: read in this ``way`` (``None``: as most of them are), not the one called ``but``, the newest
    ``most``; and the part of cases that an interval is to hold."""

    way: Way | None = None
    but: str = ""
    most: int = MOST_JOBS
    coverage: float = COVERAGE


def learn_press(
    reference: str, records: Path, *, unit: str = "", choice: Choice | None = None, done: Done | None = None
) -> tuple[UnitLearned, ...]:
    """What the log has taught of the press meant by ``reference``: of each unit with an ink fountain, or of one."""
    press = find_press(reference).press
    units = [each for each in units_asked(press, unit or None) if each.fountain is not None]
    return tuple(learned_of(press, each, records, choice=choice, done=done) for each in units)


def learned_of(
    press: Press, unit: Unit, records: Path, *, choice: Choice | None = None, done: Done | None = None
) -> UnitLearned:
    """What the log has taught of one unit, which has an ink fountain. No job on record is refused: it is left out."""
    choice = choice or Choice()
    found = [job for job in find(records, press=press.id, unit=unit.id, most=choice.most + 1) if job.code != choice.but]
    jobs = found[: choice.most]
    reasons = _left_out(unit, jobs, way=choice.way)
    logged: list[LoggedJob] = []
    usable = [job for job in reversed(jobs) if job.code not in reasons]
    for number, job in enumerate(usable, start=1):
        try:
            logged.append(_logged(press, unit, job))
        except Refusal as refusal:
            reasons[job.code] = refusal.problems[0]
        if done is not None:
            done(number, len(usable))
    scale = key_scale(fountain_of(unit))
    return UnitLearned(
        press=press.id,
        unit=unit.id,
        invented=press.invented,
        key_kind=scale.kind,
        learned=_learned(logged, unit, scale=scale, coverage=choice.coverage),
        jobs=tuple(_used(job, reasons.get(job.code)) for job in jobs),
        notes=_notes([job for job in usable if job.code not in reasons], unit),
    )


def _used(job: JobRecord, reason: Problem | None) -> JobUsed:
    return JobUsed(code=job.code, day=job.printed_on.isoformat(), title=job.title, left_out=reason)


def _learned(logged: Sequence[LoggedJob], unit: Unit, *, scale: KeyScale, coverage: float) -> Learned | None:
    if not logged:
        return None
    assumed = scale.origin is Origin.ASSUMED
    priors = Priors(zeros=scale.settable, press=PRESS_ASSUMED if assumed else Priors().press)
    coupling = limits_on(fountain_of(unit).blade).coupling
    return learn(logged, scale=scale, coupling=coupling, priors=priors, coverage=coverage)


def _notes(used: Sequence[JobRecord], unit: Unit) -> tuple[Problem, ...]:
    """What was assumed of the jobs used, each thing once."""
    if not used:
        return (Problem("press-nothing-learned", {"unit": unit.id}),)
    assumed = {note.slug: note for job in used for note in curve_of(job)[1]}
    return tuple(assumed.values())


def _left_out(unit: Unit, jobs: Sequence[JobRecord], *, way: Way | None) -> dict[str, Problem]:
    """By code, why a job tells nothing: something is not known, or it was read in another way."""
    reasons = {}
    for job in jobs:
        problems = lacking(unit, job)
        if problems:
            reasons[job.code] = problems[0]
        elif not any(reading.sheet is None for reading in job.readings):
            reasons[job.code] = Problem("job-no-ok-sheet", {"title": job.title})
    usual = way or _usual(job for job in jobs if job.code not in reasons)
    for job in jobs:
        facts = {fact for each in _ways(job) for fact in differing(usual, each)}
        if facts and job.code not in reasons:
            read = ", ".join(sorted({each.words for each in _ways(job)}))
            reasons[job.code] = Problem("job-read-otherwise", {"read": read, "usual": usual.words})
    return reasons


def _ways(job: JobRecord) -> list[Way]:
    return [way_of(reading) for reading in job.readings if reading.sheet is None]


def _usual(jobs: Iterable[JobRecord]) -> Way:
    """The way most jobs were read in, those that said most going first among equals."""
    counts = Counter(way for job in jobs for way in set(_ways(job)))
    return max(counts, key=lambda way: (counts[way], len(way.said)), default=Way())


@lru_cache(maxsize=REMEMBERED)
def _logged(press: Press, unit: Unit, job: JobRecord) -> LoggedJob:
    """A job as learning wants it. :class:`Refusal` where its films cannot be worked out."""
    fountain, scale = fountain_of(unit), key_scale(fountain_of(unit))
    curve = curve_of(job)[0]
    zoned = train_of(press, unit, job)
    read = sheet_read(job, zones=len(fountain.zone_widths_mm)).densities
    read = np.where(zoned.image_mm2 > 0, read, np.nan)
    beyond = np.flatnonzero(read >= curve.saturation)
    if beyond.size:
        zones = ", ".join(str(zone + 1) for zone in beyond)
        raise Refusal(Problem("setup-reading-beyond", {"zones": zones, "saturation": curve.saturation}))
    measured = Measured(densities=read, curve=curve)
    with settling():
        keys = as_set(zoned, keys_of(job), aim_um=1.0, scale=scale, limits=limits_on(fountain.blade), accuracy=ACCURACY)
        films_um = keys.films_um(keys.openings)
        solution = settle(zoned.train, zoned.keyed(films_um), accuracy=ACCURACY, throw=True)
        split = split_sides(zoned, films_um, solution=solution, accuracy=ACCURACY)
    return LoggedJob(
        response=keys.response,
        readings=keys_of(job),
        films_um=measured.films_um,
        errors_um=measured.errors_um,
        sweep_mm=zoned.sweep_mm,
        split=split,
    )
