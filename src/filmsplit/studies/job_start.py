"""The first and the last sheets of a job: what is on the rollers before, and what to do until the print has settled."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.setup.short_run import Marched, ShortJob, ShortPlan, evaluate, is_short, plan_charge, plan_short_run
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import FORMS_OFF
from filmsplit.simulation.press_run import Leg, run
from filmsplit.simulation.response import start_up
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, clean_plate
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.job_question import DENSITY_TOLERANCE, FILM_TOLERANCE, Before, EarlierJob, JobQuestion
from filmsplit.studies.zoned import zoned_train

PLANNED_CELLS = 30_000
"""Cells on which plans are tried; the one chosen is marched again on the grid of the settings."""

SHOWN = 3.0
"""Sheets shown of a long run, in times to 63 %: 95 % of the way of a single delay."""

MOST_SHOWN = 1000
"""Never more sheets than this: beyond, the picture says no more."""

EVENED_REVOLUTIONS = 20
"""Turns with the forms off before a restart: from stopping and starting the press (invented default)."""

FILM_IS_DENSITY = DensityCurve(saturation=1e6, rate=1e-6)
"""A straight line: the density of a film is the film in um (to 1e-6 of it), for those who have no constants."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JobStart:
    """How the print comes to its settled state. Values are densities, or films (um) where no constants are known.

    ``run`` is marched with the plan, ``plain`` with the settled settings from the first sheet on. ``planned_sheets``
    is the whole run where it is ``short``. ``aim`` and ``tolerance`` are those of a good sheet, by zone with image.
    """

    run: Marched
    plain: Marched
    short: bool
    planned_sheets: int
    sheets_63: int | None
    sheets_95: int | None
    aim: Array
    tolerance: float

    @property
    def plan(self) -> ShortPlan:
        return self.run.plan

    @property
    def first_good(self) -> int | None:
        """The first sheet from which on all are good up to where the ductor is held off; ``None`` if there is none."""
        end = self.plan.ductor_off_after
        bad = np.flatnonzero(~self.run.good[:end])
        first = 1 if bad.size == 0 else int(bad[-1]) + 2
        return first if first <= end else None


def job_start(
    setting: FilmSetting, zoned: ZonedTrain, solution: Solution, *, films_um: Array, question: JobQuestion
) -> JobStart:
    """Plan the start of a job with settled key films ``films_um`` and their settled print ``solution``.

    A run that is over before the rollers have settled is planned as a whole; of a longer one only the charge is.
    ``NotSettledError`` where a print did not settle, ``ValueError`` where the law on the sheet is not linear.
    """
    state = state_before(zoned, solution, question=question)
    response = start_up(zoned.train, zoned.keyed(films_um), solution=solution, state=state)
    to_63 = response.sheets_63 or MOST_SHOWN
    sheets = min(question.run or MOST_SHOWN, MOST_SHOWN, max(2, round(SHOWN * to_63)))
    short = question.run is not None and is_short(question.run, to_63) and question.run == sheets
    job = _job(zoned, solution, films_um=films_um, question=question, sheets=sheets, state=state)
    plan = _planned(setting, zoned, films_um=films_um, question=question, sheets=sheets, short=short)
    plain = ShortPlan(charge_revolutions=0, factor=1.0, run_settings_from=1, ductor_off_after=sheets)
    return JobStart(
        run=evaluate(job, plan),
        plain=evaluate(job, plain),
        short=short,
        planned_sheets=sheets,
        sheets_63=response.sheets_63,
        sheets_95=response.sheets_95,
        aim=job.aim,
        tolerance=job.tolerance,
    )


def state_before(zoned: ZonedTrain, solution: Solution, *, question: JobQuestion) -> State | None:
    """The rollers before the first sheet; ``None`` for clean ones. The plate is new, except after a stop."""
    if question.before is Before.STOPPED:
        assert solution.state is not None
        resting = replace(zoned.demand, running=FORMS_OFF)
        leg = Leg(demand=resting, revolutions=EVENED_REVOLUTIONS, feeding=False)
        return run(zoned.train, [leg], state=solution.state).state
    if question.earlier is None:
        return None
    return clean_plate(zoned.train, left_by(zoned, question.earlier))


def left_by(zoned: ZonedTrain, earlier: EarlierJob) -> State:
    """The train as the job before left it, settled; ``NotSettledError`` where that did not settle."""
    there = _earlier(zoned, earlier)
    settled = settle(there.train, there.keyed(earlier.key_films_um), throw=True)
    assert settled.state is not None
    return settled.state


def _earlier(zoned: ZonedTrain, earlier: EarlierJob) -> ZonedTrain:
    """The train under the plate of the job before: each zone even over the length of the sheet."""
    coverage, demand = np.zeros(zoned.demand.coverage.shape), zoned.swept(earlier.sweep_mm).demand
    rows = len(coverage)
    if demand.sheet_round_mm is not None:
        rows = round(demand.sheet_round_mm[1] / zoned.train.grid.round_mm)
    for zone, share in zip(zoned.zones, earlier.coverage, strict=True):
        coverage[:rows, slice(*zone)] = share
    return replace(zoned, demand=replace(demand, coverage=coverage))


def _job(  # noqa: PLR0913  (all but two are named)
    zoned: ZonedTrain,
    solution: Solution,
    *,
    films_um: Array,
    question: JobQuestion,
    sheets: int,
    state: State | None,
) -> ShortJob:
    """The run to plan, judged in densities, or in films where there are no constants."""
    curve, tolerance = question.curve, question.tolerance
    if curve is None:
        aim_um = float(zoned.prints_um(solution).max(initial=0.0))
        tolerance = (FILM_TOLERANCE if tolerance is None else tolerance) * aim_um
    return ShortJob(
        zoned=zoned,
        films_um=films_um,
        solution=solution,
        sheets=sheets,
        curve=curve or FILM_IS_DENSITY,
        tolerance=DENSITY_TOLERANCE if tolerance is None else tolerance,
        state=state,
    )


def _planned(  # noqa: PLR0913  (all but two are named)
    setting: FilmSetting,
    zoned: ZonedTrain,
    *,
    films_um: Array,
    question: JobQuestion,
    sheets: int,
    short: bool,
) -> ShortPlan:
    """The plan found on coarse cells: of a long run the charge alone, with the ductor on throughout."""
    coarse = zoned_train(setting, most_cells=PLANNED_CELLS).swept(zoned.sweep_mm)
    if question.learned is not None:
        coarse = coarse.with_split(question.learned.split_off)
    solution = settle(coarse.train, coarse.keyed(films_um), throw=True)
    state = state_before(coarse, solution, question=question)
    job = _job(coarse, solution, films_um=films_um, question=question, sheets=sheets, state=state)
    return plan_short_run(job).best.plan if short else plan_charge(job).plan
