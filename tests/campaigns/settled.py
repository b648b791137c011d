"""How honest is the error that a settled solve states? Prints the table recorded in docs/performance.md.

Every demo press x coverage x even or patchy image, each against a solve a hundred times tighter, and the pulling of
cycles against a long march of the train with its true cycles. Run from the project's folder:
``python tests/campaigns/settled.py``. Ends with 1 if an error was larger than stated.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Unit
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import Grid, grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import State
from filmsplit.simulation.train import compile_network
from physics.trains import coverage

CELL_MM = 4.0
PULL_CELL_MM = 8.0
COVERAGES = (0.01, 0.05, 0.2, 0.6, 1.0)
TIGHTER = 1e-5
SHORTEST = (12, 20, 48)
"""Longest common periods allowed, so that cycles are pulled by more and by less."""


@dataclass(frozen=True, slots=True)
class Shop:
    """A demo unit on a grid."""

    name: str
    unit: Unit
    network: Network
    grid: Grid

    @classmethod
    def of(cls, name: str, *, cell_mm: float) -> Shop:
        unit = load(demo_path(name)).press.units[0]
        network = ink_network(unit)
        grid = grid_of(network.plate_mm, width_of(unit), round_mm=cell_mm, across_mm=cell_mm)
        return cls(name, unit, network, grid)

    def demand(self, cover: float, *, patchy: bool) -> Demand:
        gap = self.unit.cylinders.plate.gap_mm / self.network.plate_mm
        cells = np.full((self.grid.rows, self.grid.columns), cover)
        if patchy:
            cells = coverage(self.grid, gap=gap, mean=cover, image_share=0.5 if cover < 0.4 else 1.0)
        cells[self.grid.rows - self.grid.cells(self.unit.cylinders.plate.gap_mm) :] = 0
        cells[:, :2] = cells[:, -2:] = 0
        ducts = isinstance(self.network.feeds[0], DuctorFeed)
        return Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0} if ducts else {})


def main() -> int:
    """Both tables; 1 where a promise is broken."""
    settled = [measured for name in demo_presses() for measured in _settled(Shop.of(name, cell_mm=CELL_MM))]
    print("| settled | solves | in 10 passes | most passes | largest true error | true / stated: median | largest |")
    print("|---|---|---|---|---|---|---|")
    for name in (*demo_presses(), "all"):
        rows = [row for row in settled if name in (row[0], "all")]
        ratios = [true / stated for _, _, stated, true in rows]
        quick = sum(passes <= 10 for _, passes, _, _ in rows)
        print(
            f"| {name} | {len(rows)} | {quick} | {max(row[1] for row in rows)} | {max(row[3] for row in rows):.1e} "
            f"| {np.median(ratios):.2f} | {max(ratios):.2f} |"
        )
    pulled = [measured for name in demo_presses() for measured in _pulled(Shop.of(name, cell_mm=PULL_CELL_MM))]
    print("\n| pulled | coverage | period | largest pull | stated error | true error |\n|---|---|---|---|---|---|")
    for name, cover, turns, pull, stated, true in pulled:
        print(f"| {name} | {cover:.0%} | {turns} | {pull:.1%} | {stated:.1e} | {true:.1e} |")
    wrong = [row for row in settled if row[3] > row[2]] + [row for row in pulled if row[5] > row[4]]
    print(f"\n{len(wrong)} errors larger than stated: {wrong}")
    return int(bool(wrong))


def _settled(shop: Shop) -> list[tuple[str, int, float, float]]:
    """Passes on both grids, the error stated, and the larger error of the last sheet and of the mean sheet."""
    train = compile_network(with_common_period(shop.network)[0], shop.grid)
    found = []
    for cover in COVERAGES:
        for patchy in (False, True):
            demand = shop.demand(cover, patchy=patchy)
            ours, tight = settle(train, demand), settle(train, demand, accuracy=TIGHTER)
            assert ours.ok
            assert tight.ok
            image = demand.coverage > 0
            mean = tight.sheet_um[image].mean()
            last = [march(train, demand, state=s.state, revolutions=1).sheet_um for s in (ours, tight)]
            true = max(np.abs(a - b)[image].max() for a, b in (last, (ours.sheet_um, tight.sheet_um))) / mean
            spent = ours.statistics
            found.append((shop.name, spent.periods + spent.coarser_periods, spent.error, float(true)))
    return found


def _pulled(shop: Shop) -> list[tuple[str, float, int, float, float, float]]:
    """Stated and true error of the mean print where cycles were pulled, for several longest periods."""
    found = []
    true = compile_network(shop.network, shop.grid)
    for cover in (0.05, 0.2, 1.0):
        demand = shop.demand(cover, patchy=cover < 1.0)
        image = demand.coverage > 0
        reference = None
        done = set()
        for most in SHORTEST:
            network, period = with_common_period(shop.network, most=most)
            if period.pulled == 0 or period.revolutions in done:
                continue
            done.add(period.revolutions)
            solved = settle(compile_network(network, shop.grid), demand, accuracy=TIGHTER)
            if reference is None:
                reference = _marched(true, demand, start=solved.state)
            error = np.abs(solved.sheet_um - reference)[image].max() / reference[image].mean()
            stated = solved.statistics.pull_error + solved.statistics.error
            found.append((shop.name, cover, period.revolutions, period.pulled, stated, float(error)))
    return found


def _marched(train, demand: Demand, *, start: State):
    """The mean sheet of the train with its true cycles, long after the start and over a long time."""
    state = march(
        train, demand, state=replace(start, step=0), revolutions=3000 if demand.coverage.mean() < 0.1 else 900
    )
    return march(train, demand, state=state.state, revolutions=480, watch=True).passing.sheet_um


if __name__ == "__main__":
    sys.exit(main())
