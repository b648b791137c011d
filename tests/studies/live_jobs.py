"""Jobs set on demo presses, ready to be moved; and a march with nothing of the solver in it."""

from __future__ import annotations

from functools import cache

import numpy as np

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.work import WorkAsked
from filmsplit.ink.splitting import Array
from filmsplit.simulation.march import march
from filmsplit.simulation.period import common_period, cycles_of
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network
from filmsplit.studies.live_cells import LiveTrain
from filmsplit.studies.live_job import LiveJob, live_job

UNEVEN = {"heron": "20 5 40 10 25 20 5 40 30 15", "lapwing": "10 20 30 20 10 40 30 20 10 5"}
REVOLUTIONS = 2400
"""As long as it takes the slowest demo press to come to rest, eight times over."""


@cache
def set_on(press: str, coverage: str | None = None) -> Set:
    """A job of uneven zones, unless told, set once for all tests."""
    return set_job(
        press,
        WorkAsked(what=(coverage or UNEVEN[press],), only_typed=True),
        JobAsked(constants=(2.0, 1.2), unit={"heron": "A", "lapwing": "1"}[press]),
    )


def job_on(press: str, coverage: str | None = None) -> LiveJob:
    found = set_on(press, coverage)
    return live_job(found.studies[0], job=found.studies)


def marched_um(live: LiveTrain, films_um: Array, *, sweep_mm: float | None) -> Array:
    """Film of the sheet after a long march from empty rollers, in double precision: mean over one common period."""
    own = live.zoned.train
    train = compile_network(own.network, own.grid)
    period = common_period(cycles_of(own.network))
    assert period is not None
    demand, turns = live.keyed(films_um, sweep_mm), period.revolutions
    before = march(train, demand, state=empty(train), revolutions=REVOLUTIONS // turns * turns)
    last = march(train, demand, state=before.state, revolutions=turns, watch=True)
    assert last.passing is not None
    return np.asarray(last.passing.sheet_um[live.sheet])
