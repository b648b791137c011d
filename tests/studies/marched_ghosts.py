"""Ghosts of a march: from empty rollers, step by step, with no settled solve."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from filmsplit.simulation.march import march
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.state import empty
from filmsplit.studies.cures import Trial
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.ghosts import spread_evenly, strongest_difference

PERIODS = 60


def marched_strongest(setting: FilmSetting, trial: Trial) -> float:
    """The strongest ghost after so many periods from empty rollers, as a mean over one more common period."""
    zoned = trial.zoned(setting)
    demand = zoned.keyed(trial.films_um(zoned))
    even = replace(demand, coverage=np.ascontiguousarray(spread_evenly(zoned)))
    turns = with_common_period(setting.network)[1].revolutions
    prints = []
    for each in (demand, even):
        state = march(zoned.train, each, state=empty(zoned.train), revolutions=PERIODS * turns).state
        passing = march(zoned.train, each, state=state, revolutions=turns, watch=True).passing
        assert passing is not None
        prints.append(passing.sheet_um)
    return strongest_difference(prints[0], prints[1], coverage=zoned.demand.coverage, grid=zoned.train.grid)
