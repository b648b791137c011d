"""Measure settling as ratios in one run: beside marching from empty to the same accuracy."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Unit
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train, compile_network

CELL_MM = 2.0
ACCURACY = 1e-3
COVERAGES = (0.05, 0.2, 1.0)
MOST_REVOLUTIONS = 4000


@dataclass(frozen=True, slots=True)
class Case:
    """A demo unit cut into cells, with an even image on it."""

    name: str
    unit: Unit
    network: Network
    train: Train
    period: int

    def demand(self, coverage: float) -> Demand:
        grid = self.train.grid
        cells = np.full((grid.rows, grid.columns), coverage)
        cells[grid.rows - grid.cells(self.unit.cylinders.plate.gap_mm) :] = 0
        cells[:, :2] = cells[:, -2:] = 0
        ducts = isinstance(self.network.feeds[0], DuctorFeed)
        return Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0} if ducts else {})


def main() -> None:
    """Print the table."""
    cases = list(_cases())
    print(f"{'settle to 0.1 %':22} {'coverage':>8} {'passes':>7} {'revs':>5} {'s':>6} {'marched from empty x':>21}")
    for case in cases:
        for coverage in COVERAGES:
            _settle_row(case, coverage)


def _cases() -> Iterator[Case]:
    for name in demo_presses():
        unit = load(demo_path(name)).press.units[0]
        network, period = with_common_period(ink_network(unit))
        grid = grid_of(network.plate_mm, width_of(unit), round_mm=CELL_MM, across_mm=CELL_MM)
        yield Case(name, unit, network, compile_network(network, grid), period.revolutions)


def _settle_row(case: Case, coverage: float) -> None:
    """Passes and revolutions of the solver, and how many more revolutions marching from empty needs."""
    demand = case.demand(coverage)
    began = time.perf_counter()
    solution = settle(case.train, demand, accuracy=ACCURACY)
    took = time.perf_counter() - began
    spent = solution.statistics
    marched = _marched_from_empty(case, demand)
    ratio = "not reached" if marched is None else f"{marched / spent.revolutions:.1f}"
    verdict = "" if solution.ok else f"  {solution.outcome.name}"
    name = f"{case.name:22} {coverage:8.2f}"
    print(f"{name} {spent.periods:7d} {spent.revolutions:5d} {took:6.2f} {ratio:>21}{verdict}")


def _marched_from_empty(case: Case, demand: Demand) -> int | None:
    """Revolutions from empty until the print is within the accuracy of a solve a hundred times tighter."""
    tight = settle(case.train, demand, accuracy=ACCURACY / 100, most_periods=200)
    if not tight.ok or tight.state is None:
        return None
    image = demand.coverage > 0
    aim = march(case.train, demand, state=tight.state, revolutions=case.period).sheet_um
    state, done = empty(case.train), 0
    while done < MOST_REVOLUTIONS:
        marched = march(case.train, demand, state=state, revolutions=case.period)
        done += case.period
        if np.abs(marched.sheet_um - aim)[image].max() <= ACCURACY * aim[image].mean():
            return done
        state = replace(marched.state, step=0)
    return None


if __name__ == "__main__":
    main()
