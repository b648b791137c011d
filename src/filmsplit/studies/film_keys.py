"""The keys that print the film asked for, and the settled state with them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from filmsplit.messages import Problem, Refusal
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.studies.film_cells import Prepared
from filmsplit.studies.film_question import Mode, Zoned
from filmsplit.studies.scaled import scaled

TRIAL_UM = 1.0
"""Key film of the first solve where the keys are to be found: any will do where the train is linear."""

MOST_TRIALS = 15
"""The print is nearly proportional to the keys, so that a few trials bring it to the aim under any law."""

Told = Callable[[float], None]
"""Told the part that is done (0..1)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Keyed:
    """A solve with its keys. ``films_um`` is ``None`` where they were to be found and could not be.

    ``solves`` is how many settled states it took, ``revolutions`` how many turns of the plate were marched for them,
    ``work_revolutions`` the same with all work on coarser grids counted by its cells.
    """

    films_um: Zoned | None
    demand: Demand
    solution: Solution
    solves: int
    revolutions: int
    work_revolutions: float


def settle_keyed(prepared: Prepared, *, told: Told) -> Keyed:
    """Settle with the keys given, or with the even keys that print the aim."""
    setting = prepared.setting
    if setting.key_films_um is not None:
        return _settled(prepared, setting.key_films_um, told=told)
    found = _scaled(prepared, told=told) if setting.transfer.is_linear else _tried(prepared, told=told)
    if setting.question.mode is Mode.PRINT or found.films_um is None:
        return found
    other = _settled(prepared, found.films_um, told=told)
    return replace(
        other,
        solves=found.solves + 1,
        revolutions=found.revolutions + other.revolutions,
        work_revolutions=found.work_revolutions + other.work_revolutions,
    )


def _settled(prepared: Prepared, films_um: Zoned, *, told: Told) -> Keyed:
    demand = prepared.running(prepared.keyed(films_um))
    solution = _solve(prepared, demand, told=told)
    return _keyed(films_um, demand, solution=solution)


def _scaled(prepared: Prepared, *, told: Told) -> Keyed:
    """One solve, scaled: with a fixed share on the sheet every film goes with the keys."""
    trial = _solve(prepared, prepared.keyed(TRIAL_UM), told=told)
    if not trial.ok:
        return _keyed(None, prepared.keyed(TRIAL_UM), solution=trial)
    factor = prepared.setting.aim_um / _mean_um(prepared, trial)
    film_um = TRIAL_UM * factor
    return _keyed(film_um, prepared.keyed(film_um), solution=scaled(trial, factor))


def _keyed(films_um: Zoned | None, demand: Demand, *, solution: Solution) -> Keyed:
    """A single solve."""
    done = solution.statistics
    turns, work = done.revolutions, done.work_revolutions
    return Keyed(
        films_um=films_um, demand=demand, solution=solution, solves=1, revolutions=turns, work_revolutions=work
    )


def _tried(prepared: Prepared, *, told: Told) -> Keyed:
    """Solve, widen the keys by what lacks, and again until the print is as near as it is settled."""
    setting = prepared.setting
    film_um, state, turns, work = TRIAL_UM, None, 0, 0.0
    for solves in range(1, MOST_TRIALS + 1):
        demand = prepared.keyed(film_um)
        solution = settle(prepared.train, demand, accuracy=setting.question.accuracy, start=state)
        told(min(1.0, solves / 6))
        turns += solution.statistics.revolutions
        work += solution.statistics.work_revolutions
        lacking = setting.aim_um / _mean_um(prepared, solution) if solution.ok else math.inf
        if not solution.ok or abs(math.log(lacking)) <= setting.question.accuracy:
            found = _keyed(film_um if solution.ok else None, demand, solution=solution)
            return replace(found, solves=solves, revolutions=turns, work_revolutions=work)
        film_um *= lacking
        state = scaled(solution, lacking).state
    values = {"unit": setting.unit.id, "aim_um": setting.aim_um, "trials": MOST_TRIALS}
    raise Refusal(Problem("film-aim-not-reached", values))


def _solve(prepared: Prepared, demand: Demand, *, told: Told) -> Solution:
    accuracy = prepared.setting.question.accuracy

    def progress(_: int, error: float) -> None:
        if error > 0:
            told(min(1.0, max(0.0, math.log(error) / math.log(accuracy))))

    return settle(prepared.train, demand, accuracy=accuracy, progress=progress)


def _mean_um(prepared: Prepared, solution: Solution) -> float:
    assert solution.answers is not None
    if solution.answers.sheet_mean_um > 0:
        return solution.answers.sheet_mean_um
    raise Refusal(Problem("film-nothing-printed", {"unit": prepared.setting.unit.id}))
