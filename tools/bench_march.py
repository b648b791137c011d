"""Measure marching as ratios in one run: to this machine's copy rate, to NumPy step by step, two cores to one.

Every figure is the best of several runs that alternate with what they are compared with: other work on the machine only
ever makes a run longer.
"""

from __future__ import annotations

import math
import os
import platform
import subprocess
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.native import kernel_in_use
from filmsplit.simulation.network import DuctorFeed, LoopRole, Network, Place, Swing
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import NipKind, Train, compile_network
from step_by_step import StepByStep

RUNS = 7
LEAST_S = 0.06
"""A run marches as many revolutions as take so long: starting a march is not what is measured here."""

GAP_PART = 0.15
SMALL_PRESS, LARGE_PRESS = "wagtail", "bittern"
LARGE_PLATE_MM, LARGE_WIDTH_MM = 905.0, 1030.0
"""A press for sheets of 72 x 102 cm: the plate is longer than the sheet by its gap."""

ANSWER = """
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
import numpy as np
unit = load(demo_path("heron")).press.units[0]
network, _ = with_common_period(ink_network(unit))
grid = grid_of(network.plate_mm, width_of(unit), round_mm=2, across_mm=2)
cover = np.full((grid.rows, grid.columns), 0.2)
demand = Demand(coverage=cover, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0})
assert settle(compile_network(network, grid), demand).ok
"""
"""What a first answer takes: read a press, settle it, all in a fresh process."""


@dataclass(frozen=True, slots=True)
class Case:
    """A train to be marched."""

    name: str
    train: Train

    @classmethod
    def of(cls, name: str, network: Network, *, width_mm: float, cell_mm: float, dtype: str = "float64") -> Case:
        grid = grid_of(network.plate_mm, width_mm, round_mm=cell_mm, across_mm=cell_mm)
        return cls(f"{name}, {cell_mm:g} mm", compile_network(network, grid, dtype=dtype))

    def changed(self, network: Network) -> Case:
        return replace(self, train=compile_network(network, self.train.grid, dtype=self.train.dtype))

    @property
    def demand(self) -> Demand:
        """A fifth of the cells' area inked, a gap, bare roller ends."""
        grid = self.train.grid
        cover = np.full((grid.rows, grid.columns), 0.2)
        cover[grid.rows - round(GAP_PART * grid.rows) :] = 0
        cover[:, :2] = cover[:, -2:] = 0
        ducts = any(isinstance(feed, DuctorFeed) for feed in self.train.network.feeds)
        return Demand(coverage=cover, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0} if ducts else {})


def main() -> None:
    """Print every table."""
    kernel = kernel_in_use()
    print(f"march: {_processor()}, {os.cpu_count()} cores; Python {platform.python_version()}, NumPy {np.__version__}")
    print(f"C kernel: {kernel.standing.value}" + ("" if kernel.library else " (NumPy marches instead)"))
    networks = {name: _demo(name) for name in demo_presses()}
    small, large = networks[SMALL_PRESS], _enlarged(*networks[LARGE_PRESS])
    cases = [Case.of(name, network, width_mm=width, cell_mm=2.0) for name, (network, width) in networks.items()]
    cases += [
        Case.of(f"{name}{' single' if dtype == 'float32' else ''}", network, width_mm=width, cell_mm=1.0, dtype=dtype)
        for name, (network, width) in ((f"{SMALL_PRESS} 36x52", small), ("enlarged 72x102", large))
        for dtype in ("float64", "float32")
    ]
    print(f"\n{'':28}{'':>9} {'ms':>7}  share of the copy rate    step by step ÷   two cores ×   memory")
    heads = f"{'march':28}{'cells':>9} {'a rev':>7}  {'still':>6} {'as is':>6} {'all osc':>8}"
    print(f"{heads}  {'C':>6} {'NumPy':>6}   {'still':>6} {'as is':>6}  ÷ state")
    for case in cases:
        _row(case)
    _sizes(*small)
    _starts()


def _row(case: Case) -> None:
    network = case.train.network
    variants = [case.changed(_still(network)), case, case.changed(_restless(network))]
    shares, seconds, cores = [], [], []
    for variant in variants:
        one, two, copy = _best(_marching(variant, 1), _marching(variant, 2), _copying(variant))
        seconds.append(one)
        cores.append(one / two)
        shares.append(_moved_bytes(variant.train) * copy / one)
    step, numpy_s = _best(_stepping(case), _marching(case, 1, native=False), runs=2)
    numbers = f"{case.name:28}{case.train.cells * case.train.grid.columns:9d} {1e3 * seconds[1]:7.2f}"
    rates = f"{shares[0]:6.2f} {shares[1]:6.2f} {shares[2]:8.2f}  {step / seconds[1]:6.0f} {step / numpy_s:6.1f}"
    print(f"{numbers}  {rates}   {cores[0]:6.2f} {cores[1]:6.2f}  {_memory(case):7.1f}")


def _sizes(network: Network, width_mm: float) -> None:
    """Whether the time grows as the cells do."""
    print(f"\n{SMALL_PRESS}, one core: time against cells")
    found = []
    for cell_mm in (4.0, 2.0, 1.0, 0.5):
        case = Case.of(SMALL_PRESS, network, width_mm=width_mm, cell_mm=cell_mm)
        # A step is a row of the plate: twice as fine a grid passes four times the cells in a revolution.
        cells = case.train.grid.rows * case.train.grid.columns
        (took,) = _best(_marching(case, 1))
        found.append((cells, took))
        print(f"{case.name:28}{cells:9d} {1e3 * took:7.2f} ms a rev, {1e9 * took / cells:6.2f} ns a plate cell")
    (few, short), (many, long) = found[0], found[-1]
    print(
        f"{many / few:.0f}-fold cells: time as cells to the power {math.log(long / short) / math.log(many / few):.2f}"
    )


def _starts() -> None:
    """A settled answer from a fresh process, with and without what Python compiled before."""
    with tempfile.TemporaryDirectory() as folder:
        first = _answer_s("-X", f"pycache_prefix={folder}")
    later = min(_answer_s() for _ in range(5))
    bare = min(_process_s("-c", "pass") for _ in range(5))
    print("\nheron settled at 2 mm in a fresh process")
    print(f"first {first:.2f} s (promised 3), later {later:.2f} s (promised 1), bare Python {bare:.3f} s")


# Time ----------------------------------------------------------------------------------------------------------------


def _best(*jobs: Callable[[], float], runs: int = RUNS) -> list[float]:
    """The best of several runs of each job, which alternate; what a job returns counts, smallest best."""
    times = [[job() for job in jobs] for _ in range(runs)]
    return [min(each) for each in zip(*times, strict=True)]


def _marching(case: Case, cores: int, *, native: bool = True) -> Callable[[], float]:
    """Seconds for a revolution, the start of the march taken off."""
    demand, state = case.demand, empty(case.train)

    def took(revolutions: int) -> float:
        began = time.perf_counter()
        march(case.train, demand, state=state, revolutions=revolutions, native=native, cores=cores)
        return time.perf_counter() - began

    start = min(took(0) for _ in range(3))
    revolutions = max(1, math.ceil(LEAST_S / max(took(1) - start, 1e-6)))

    def job() -> float:
        start = min(took(0), took(0))
        return (took(revolutions) - start) / revolutions

    return job


def _stepping(case: Case) -> Callable[[], float]:
    """Seconds for a revolution step by step, once it is seen to compute the same."""
    demand = case.demand
    plain = StepByStep(case.train, demand)
    plain.march(4)
    done = march(case.train, demand, state=empty(case.train), revolutions=4)
    rounding = 1e-4 if case.train.dtype == "float32" else 1e-11
    assert np.abs(plain.sheet - done.sheet_um).max() <= rounding * done.sheet_um.max() > 0

    def job() -> float:
        stepped = StepByStep(case.train, demand)
        began = time.perf_counter()
        stepped.march(1)
        return time.perf_counter() - began

    return job


def _copying(case: Case) -> Callable[[], float]:
    """Seconds to move a byte when as much as the march works on is copied: half of it is read, half written."""
    train = case.train
    cells = (train.cells + 2 * train.grid.rows) * train.grid.columns // 2
    source, target = np.ones(cells, dtype=train.dtype), np.zeros(cells, dtype=train.dtype)
    times = max(1, int(LEAST_S * 2e10 / source.nbytes))

    def job() -> float:
        began = time.perf_counter()
        for _ in range(times):
            np.copyto(target, source)
        return (time.perf_counter() - began) / (times * 2 * source.nbytes)

    return job


def _moved_bytes(train: Train) -> float:
    """What a revolution has to read and write: films that pass a nip both, coverage read, the print written."""
    cells, rows, ductors = 0.0, train.grid.rows, train.ductor_of
    for nip in train.nips:
        a, b = train.loops[nip.a], train.loops[nip.b]
        across = max(0, min(a.end, b.end) - max(a.first, b.first))
        turning = [ductors[loop].dwell_train / ductors[loop].cycle for loop in (nip.a, nip.b) if loop in ductors]
        cells += (5 if nip.kind is NipKind.FORM else 4) * rows * across * min([1.0, *turning])
    cells += sum(2 * rows * (feed.end - feed.first) for feed in train.feeds if feed.ductor is None)
    cells += 4 * rows * train.grid.columns
    return cells * np.dtype(train.dtype).itemsize


def _memory(case: Case) -> float:
    """Most memory taken while marching, over that of the state it starts from."""
    demand, state = case.demand, empty(case.train)
    tracemalloc.start()
    march(case.train, demand, state=state, revolutions=1)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return (most + state.films.nbytes) / state.films.nbytes


def _answer_s(*options: str) -> float:
    return _process_s(*options, "-c", ANSWER)


def _process_s(*arguments: str) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True)
    return time.perf_counter() - began


# Trains --------------------------------------------------------------------------------------------------------------


def _demo(name: str) -> tuple[Network, float]:
    unit = load(demo_path(name)).press.units[0]
    network, _ = with_common_period(ink_network(unit))
    return network, width_of(unit)


def _still(network: Network) -> Network:
    """Nothing oscillates."""
    return replace(network, loops=tuple(replace(loop, swing=None) for loop in network.loops))


def _restless(network: Network) -> Network:
    """Every roller oscillates, each by itself, but for a ductor: all its nips are oscillating ones."""
    ductors = {feed.fountain.loop for feed in network.feeds if isinstance(feed, DuctorFeed)}
    return replace(
        network,
        loops=tuple(
            replace(loop, swing=Swing(stroke_mm=30.0, cycle_rev=4.0, phase_deg=37.0 * number))
            if loop.role is LoopRole.ROLLER and loop.id not in ductors
            else loop
            for number, loop in enumerate(network.loops)
        ),
    )


def _enlarged(network: Network, width_mm: float) -> tuple[Network, float]:
    """A train for a larger sheet: longer all round and wider, strokes as they were."""
    around, across = LARGE_PLATE_MM / network.plate_mm, LARGE_WIDTH_MM / width_mm

    def put(place: Place) -> Place:
        return replace(place, at_mm=place.at_mm * around)

    def wide(face: tuple[float, float] | None) -> tuple[float, float] | None:
        return None if face is None else (face[0] * across, face[1] * across)

    loops = tuple(
        replace(loop, length_mm=loop.length_mm * around, face_mm=wide(loop.face_mm)) for loop in network.loops
    )
    nips = tuple(replace(nip, a=put(nip.a), b=put(nip.b)) for nip in network.nips)
    (feed,) = network.feeds
    assert isinstance(feed, DuctorFeed)
    feed = replace(
        feed,
        fountain=put(feed.fountain),
        dwell_feed_mm=feed.dwell_feed_mm * around,
        dwell_train_mm=feed.dwell_train_mm * around,
        face_mm=wide(feed.face_mm),
    )
    sheet = None if network.sheet is None else put(network.sheet)
    large = replace(network, plate_mm=LARGE_PLATE_MM, loops=loops, nips=nips, feeds=(feed,), sheet=sheet)
    return large, LARGE_WIDTH_MM


def _processor() -> str:
    """The processor's name, where the system tells."""
    told = Path("/proc/cpuinfo")
    if told.exists():
        lines: Iterator[str] = (line for line in told.read_text(encoding="utf-8").splitlines() if "model name" in line)
        return next(lines, platform.machine()).partition(":")[2].strip() or platform.machine()
    return platform.processor() or platform.machine()


if __name__ == "__main__":
    main()
