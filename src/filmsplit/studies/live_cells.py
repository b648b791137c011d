"""The train of a job that is tried, on cells of a stated size: films put in by key, the sheet's film read out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Refusal
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.period import common_period, cycles_of
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import compile_network
from filmsplit.studies.film_cells import Prepared, prepare
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.live_job import Arrangement, LiveJob
from filmsplit.studies.zoned import zoned_on

SLIVER_MM2 = 1.0
"""Less image than this in a zone is none."""
SINGLE = "float32"
"""Films are tried in single precision: a third quicker, and its rounding is far below what is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """How fine: cells of ``size_mm`` both ways, but no more of them than ``most``, and with ``work`` no more than that
    many in all revolutions of a common period together; settled to ``accuracy``."""

    size_mm: float
    most: int
    accuracy: float
    work: int | None = None

    def most_in(self, revolutions: int) -> int:
        """Cells at most where a common period has so many revolutions."""
        return self.most if self.work is None else min(self.most, self.work // revolutions)


QUICK = Cells(size_mm=2.0, most=300_000, accuracy=5e-3, work=5_000_000)
"""What settles within the blink of a drag: most small presses at 2 mm, those with a long common period at 3 or 4."""
ROUGH = Cells(size_mm=2.0, most=1_500_000, accuracy=1e-3)
"""What every key is solved on beforehand."""
FINE = Cells(size_mm=1.0, most=4_000_000, accuracy=1e-3)
"""What the sheet is refined to when the hand rests."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LiveTrain:
    """A job's train arranged and cut into cells. ``rows`` and ``columns`` are the cells of the sheet."""

    job: LiveJob
    cells: Cells
    prepared: Prepared
    zoned: ZonedTrain

    @property
    def size_mm(self) -> float:
        """The longer side of a cell."""
        grid = self.zoned.train.grid
        return max(grid.round_mm, grid.across_mm)

    @property
    def sheet(self) -> tuple[slice, slice]:
        """Rows and columns under the sheet."""
        grid, demand = self.zoned.train.grid, self.zoned.demand
        assert demand.sheet_round_mm is not None
        return slice(0, grid.cells(demand.sheet_round_mm[1])), slice(*grid.columns_within(demand.sheet_across_mm))

    @property
    def coverage(self) -> Array:
        """Coverage of the sheet, cell by cell."""
        return np.asarray(self.zoned.demand.coverage[self.sheet])

    @property
    def printing(self) -> Array:
        """Whether each zone has image, by the map itself: a cell on the edge of two zones knows no better."""
        setting = self.prepared.setting
        down, across = setting.coverage_edges_mm
        inked = np.concatenate([[0.0], np.cumsum(np.diff(down) @ setting.coverage * np.diff(across))])
        ink_mm2 = np.diff(np.interp(setting.zone_edges_mm, across + setting.sheet.first_mm, inked))
        return np.asarray(ink_mm2 > SLIVER_MM2)

    def keyed(self, films_um: Array, sweep_mm: float | None) -> Demand:
        """The press printing with these films in its keys; a column on the edge of two zones gets part of both."""
        demand = self.zoned.swept(sweep_mm).demand
        return replace(demand, films_um={self.zoned.feed: self.prepared.key_profile(films_um)})

    def settled(
        self,
        films_um: Array,
        sweep_mm: float | None,
        *,
        throw: bool = False,
        progress: Callable[[int, float], None] | None = None,
    ) -> Solution:
        """Its settled print, or why there is none (raised if ``throw``)."""
        demand = self.keyed(films_um, sweep_mm)
        return settle(self.zoned.train, demand, accuracy=self.cells.accuracy, throw=throw, progress=progress)

    def zone_films_um(self, film_um: Array) -> Array:
        """Mean film on the image of each zone, from the film of the sheet; 0 without image."""
        printed = np.zeros(self.zoned.train.grid.columns)
        printed[self.sheet[1]] = (self.coverage * film_um).sum(axis=0, dtype=np.float64)
        return self.zoned.films_of(printed)


def live_train(job: LiveJob, arrangement: Arrangement, *, cells: Cells) -> LiveTrain:
    """The train of a job as it is arranged; :class:`Refusal` where it cannot be cut into cells so."""
    setting = job.arranged(arrangement)
    asked = replace(setting.question, round_mm=cells.size_mm, across_mm=cells.size_mm)
    setting = replace(setting, question=asked)
    period = common_period(cycles_of(setting.network))
    assert period is not None  # a setting's network has one
    prepared = _prepared(setting, most=cells.most_in(period.revolutions))
    train = compile_network(setting.network, prepared.train.grid, dtype=SINGLE)
    zoned = zoned_on(setting, train, demand=prepared.demand)
    if job.learned is not None:
        zoned = zoned.with_split(job.learned.split_off)
    return LiveTrain(job=job, cells=cells, prepared=prepared, zoned=zoned)


def _prepared(setting: FilmSetting, *, most: int) -> Prepared:
    """Cells of the size asked for or, where there would be too many, larger ones; what nips allow goes before both."""
    try:
        return prepare(setting, most_cells=most)
    except Refusal:  # the larger cells do not fit between two nips
        return prepare(setting)
