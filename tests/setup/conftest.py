"""A small demo press under its keys, with plates that are easy to reckon with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.press import Unit
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.sweep_response import SweepResponse, sweep_response
from filmsplit.setup.zones import ZonedTrain, zone_columns
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.train import compile_network

CELLS_MM = (8.0, 8.5)
SHEET_ROWS = 0.8


@dataclass(frozen=True)
class Bench:
    """A demo unit on coarse cells."""

    unit: Unit
    network: Network

    def zoned(self, by_zone: list[float], *, network: Network | None = None) -> ZonedTrain:
        """A plate with an even tint in each zone; a 0 is a zone without image."""
        network = network or self.network
        grid = grid_of(network.plate_mm, width_of(self.unit), round_mm=CELLS_MM[0], across_mm=CELLS_MM[1])
        train = compile_network(network, grid)
        zones = zone_columns(self.edges_mm, grid)
        coverage = np.zeros((grid.rows, grid.columns))
        for zone, tint in zip(zones, by_zone, strict=True):
            coverage[: round(SHEET_ROWS * grid.rows), slice(*zone)] = tint
        sweeps = {INK_FEED: 20.0} if isinstance(network.feeds[0], DuctorFeed) else {}
        return ZonedTrain(train=train, demand=Demand(coverage=coverage, sweeps_mm=sweeps), zones=zones)

    @property
    def edges_mm(self) -> tuple[float, ...]:
        assert self.unit.fountain is not None
        face = self.network.feeds[0].face_mm
        assert face is not None
        return tuple(float(each) for each in np.cumsum([face[0], *self.unit.fountain.zone_widths_mm]))

    def response(self, by_zone: list[float]) -> SweepResponse:
        assert self.unit.fountain is not None
        zoned = self.zoned(by_zone)
        sweeps = sweep_range(self.unit.fountain.sweep, unit=self.unit.id).sweeps_mm if zoned.sweeps else ()
        return sweep_response(zoned, sweeps)


def bench(press: str) -> Bench:
    unit = load(demo_path(press)).press.units[0]
    network, _ = with_common_period(ink_network(unit))
    return Bench(unit, network)


@pytest.fixture(scope="session")
def dipper() -> Bench:
    return bench("dipper")


EVEN = [0.12, 0.16, 0.2, 0.22, 0.22, 0.2, 0.16, 0.12]
STEEP = [0.0, 0.05, 0.05, 0.6, 0.7, 0.1, 0.02, 0.0]


@pytest.fixture(scope="session")
def even(dipper: Bench) -> SweepResponse:
    """A plate that any press prints."""
    return dipper.response(EVEN)


@pytest.fixture(scope="session")
def steep(dipper: Bench) -> SweepResponse:
    """A plate that no press with oscillators prints evenly."""
    return dipper.response(STEEP)


FloatArray = NDArray[np.float64]
