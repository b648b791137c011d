"""Measure settling beside marching from empty, as ratios in one run: work, time and memory."""

from __future__ import annotations

import statistics
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Unit
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.native import library
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train, compile_network

CELL_MM = 2.0
ACCURACY = 1e-3
COVERAGES = (0.01, 0.05, 0.2, 1.0)
RUNS = 5
MOST_REVOLUTIONS = 8000
PACE_REVOLUTIONS = 20


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
    print(f"C kernel: {'built' if library() else 'not built'}; cells of {CELL_MM:g} mm; settled to {ACCURACY:.1%}")
    print(
        f"{'':9}{'coverage':>9}{'period':>7}{'coarser':>8}{'passes':>7}{'work':>7}{'marched':>8}{'x work':>7}"
        f"{'s':>7}{'x time':>7}{'memory':>7}{'pulled by':>10}"
    )
    for case in _cases():
        for coverage in COVERAGES:
            _row(case, coverage)


def _cases() -> Iterator[Case]:
    for name in demo_presses():
        unit = load(demo_path(name)).press.units[0]
        network, period = with_common_period(ink_network(unit))
        grid = grid_of(network.plate_mm, width_of(unit), round_mm=CELL_MM, across_mm=CELL_MM)
        yield Case(name, unit, network, compile_network(network, grid), period.revolutions)


def _row(case: Case, coverage: float) -> None:
    """Work in revolutions of the grid asked for, and how much more marching from empty takes: by work and by time."""
    demand = case.demand(coverage)
    solution = settle(case.train, demand, accuracy=ACCURACY)
    spent = solution.statistics
    took = _median(lambda: settle(case.train, demand, accuracy=ACCURACY))
    marched = _marched_from_empty(case, demand)
    state = empty(case.train)
    pace = _median(lambda: march(case.train, demand, state=state, revolutions=PACE_REVOLUTIONS)) / PACE_REVOLUTIONS
    ratios = f"{'not reached':>22}{took:7.3f}{'':7}"
    if marched is not None:
        ratios = f"{marched:8d}{marched / spent.work_revolutions:7.1f}{took:7.3f}{marched * pace / took:7.1f}"
    figures = f"{spent.common_period:7d}{spent.coarser_periods:8d}{spent.periods:7d}{spent.work_revolutions:7.0f}"
    verdict = "" if solution.ok else f"  {solution.outcome.name}"
    memory = f"{_peak(case, demand) / state.films.nbytes:7.1f}"
    print(f"{case.name:9}{coverage:9.0%}{figures}{ratios}{memory}{spent.pull_error:10.1e}{verdict}", flush=True)


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


def _peak(case: Case, demand: Demand) -> int:
    """Largest memory in use during a solve, in bytes."""
    tracemalloc.start()
    settle(case.train, demand, accuracy=ACCURACY)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def _median(job: Callable[[], object], *, runs: int = RUNS) -> float:
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        job()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


if __name__ == "__main__":
    main()
