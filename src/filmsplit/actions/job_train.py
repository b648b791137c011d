"""A job's plate on its press: what is computed of a job starts from this train."""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Iterator

import numpy as np

from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press, Unit
from filmsplit.press.fountain import Fountain
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.aim import ASSUMED_CURVE
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.from_press import ink_network
from filmsplit.simulation.linear import NotAnsweredError
from filmsplit.simulation.network import DuctorFeed
from filmsplit.simulation.solution import NotSettledError
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.zoned import zoned_train

MOST_CELLS = 100_000
"""Cells of a train that is solved for its keys: on the demo presses a zone's print differs by 1 to 3 % from the finest
cells (edges of sheet and zones go to whole columns), for a third of the work."""


@contextlib.contextmanager
def settling() -> Iterator[None]:
    """Inside, a film that does not come to rest is a :class:`Refusal`: nothing can be worked out from it."""
    try:
        yield
    except NotSettledError as error:
        raise Refusal(error.solution.problem) from error
    except NotAnsweredError as error:
        raise Refusal(Problem("job-not-settled", {"error_um": error.answer.error})) from error


def fountain_of(unit: Unit) -> Fountain:
    """The fountain of a unit whose job was checked: it has one."""
    assert unit.fountain is not None
    return unit.fountain


def lacking(unit: Unit, job: JobRecord) -> tuple[Problem, ...]:
    """What of a job must be known, and nobody said, before its films can be computed."""
    return tuple(
        Problem("job-lacks", {"title": job.title, "what": label(f"job_lacks.{name}")}) for name in _lacks(unit, job)
    )


def _lacks(unit: Unit, job: JobRecord) -> Iterator[str]:
    zones = {zone.zone: zone for zone in job.zones}
    each = [zones.get(number) for number in range(1, len(fountain_of(unit).zone_widths_mm) + 1)]
    if any(zone is None or zone.coverage is None for zone in each):
        yield "coverage"
    elif not any(zone.coverage for zone in each if zone is not None):
        yield "image"
    if any(zone is None or zone.key is None for zone in each):
        yield "keys"
    if job.sweep is None and isinstance(ink_network(unit).feeds[0], DuctorFeed):
        yield "sweep"
    if job.sweep == 0:
        yield "feed"


def keys_of(job: JobRecord) -> Array:
    """Readings of the keys by zone, from the operator's side."""
    return np.array([zone.key for zone in sorted(job.zones, key=lambda zone: zone.zone)], dtype=np.float64)


def coverage_of(job: JobRecord) -> tuple[float, ...]:
    """Coverage by zone, 0..1; 0 where nobody said."""
    return tuple(zone.coverage or 0.0 for zone in sorted(job.zones, key=lambda zone: zone.zone))


def curve_of(job: JobRecord) -> tuple[DensityCurve, tuple[Problem, ...]]:
    """The constants of the job's ink, and what was assumed of them."""
    curve = dataclasses.replace(
        ASSUMED_CURVE,
        saturation=job.saturation or ASSUMED_CURVE.saturation,
        rate=job.rate_per_um or ASSUMED_CURVE.rate,
    )
    known = job.saturation is not None and job.rate_per_um is not None
    values = {"saturation": curve.saturation, "rate": curve.rate}
    return curve, () if known else (Problem("job-curve-assumed", values),)


def sweep_mm_of(unit: Unit, job: JobRecord) -> tuple[float | None, tuple[Problem, ...]]:
    """The job's sweep in mm of fountain roller, and what was assumed of it."""
    if job.sweep is None or not isinstance(ink_network(unit).feeds[0], DuctorFeed):
        return None, ()
    sweeps = sweep_range(fountain_of(unit).sweep, unit=unit.id)
    return job.sweep * sweeps.mm_per_division, sweeps.assumptions


def train_of(press: Press, unit: Unit, job: JobRecord) -> ZonedTrain:
    """The job's plate on its unit at its sweep, for a job that lacks nothing. :class:`Refusal` as ``settings_of``."""
    length_mm, width_mm = job.sheet_length_mm, job.sheet_width_mm
    sheet_mm = None if length_mm is None or width_mm is None else (length_mm, width_mm)
    question = FilmQuestion(coverage=coverage_of(job), sheet_mm=sheet_mm)
    (setting,) = settings_of(press, (unit,), question)
    return zoned_train(setting, most_cells=MOST_CELLS).swept(sweep_mm_of(unit, job)[0])
