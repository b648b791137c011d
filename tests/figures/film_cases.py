"""The demo units with films from the settled solve on a coarse grid: invented, but ink that adds up."""

from __future__ import annotations

from functools import cache

import numpy as np

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Press, Unit
from filmsplit.simulation.answers import Answers
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.network import DuctorFeed
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network


@cache
def press_of(name: str) -> Press:
    return load(demo_path(name)).press


UNITS = [(name, unit.id) for name in demo_presses() for unit in press_of(name).units]


def unit_of(name: str, unit: str) -> tuple[Press, Unit]:
    return press_of(name), press_of(name).unit(unit)


@cache
def answers_for(name: str, unit_id: str) -> Answers:
    """Settled films at 30 % coverage over most of the plate."""
    _, unit = unit_of(name, unit_id)
    network, *_ = with_common_period(ink_network(unit))
    grid = grid_of(network.plate_mm, width_of(unit), round_mm=6.0, across_mm=20.0)
    coverage = np.zeros((grid.rows, grid.columns))
    coverage[3 : int(0.7 * grid.rows), 1:-1] = 0.3
    sweeps = {INK_FEED: 15.0} if isinstance(network.feeds[0], DuctorFeed) else {}
    demand = Demand(coverage=coverage, films_um={INK_FEED: 18.0}, sweeps_mm=sweeps)
    answers = settle(compile_network(network, grid), demand, accuracy=5e-3, throw=True).answers
    assert answers is not None
    return answers
