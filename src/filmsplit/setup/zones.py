"""A train under its keys: zones as columns, films by zone put in, prints by zone read out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import column_image
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.key_response import Zones
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ZonedTrain:
    """A train with the plate on it and nothing in its keys yet, and the columns of each ink zone.

    ``demand`` is the press printing; its sweep is the one in force. ``zones`` are first column and the one after the
    last, from the operator's side; the train has one feed.
    """

    train: Train
    demand: Demand
    zones: Zones

    def __post_init__(self) -> None:
        if len(self.train.feeds) != 1:
            raise ValueError("settings are found for one fountain at a time")

    @property
    def feed(self) -> str:
        """Name of the feed the keys belong to."""
        return self.train.feeds[0].id

    @property
    def sweeps(self) -> bool:
        """Whether a ductor sweeps the fountain."""
        return self.train.feeds[0].ductor is not None

    @property
    def sweep_mm(self) -> float | None:
        return self.demand.sweeps_mm.get(self.feed)

    @property
    def image_cells(self) -> Array:
        """Sum of the coverage on the sheet in each zone."""
        return self.by_zone(column_image(self.train, self.demand))

    @property
    def image_mm2(self) -> Array:
        """Area of solid that each zone prints on a sheet."""
        return self.image_cells * self.train.grid.cell_mm2

    def swept(self, sweep_mm: float | None) -> ZonedTrain:
        """The same with another sweep; as it is with ``None``."""
        if sweep_mm is None:
            return self
        return replace(self, demand=replace(self.demand, sweeps_mm={self.feed: sweep_mm}))

    def with_split(self, by: float) -> ZonedTrain:
        """The same with a larger share leaving on the side of the sheet at every nip."""
        asked = moved(Asked(train=self.train, demand=self.demand), Parameter(kind=ParameterKind.SPLIT), by=by)
        return replace(self, train=asked.train, demand=asked.demand)

    def keyed(self, films_um: Array) -> Demand:
        """The demand with a film on the fountain roller in each zone."""
        film = np.zeros(self.train.grid.columns)
        for zone, film_um in zip(self.zones, films_um, strict=True):
            film[slice(*zone)] = film_um
        return replace(self.demand, films_um={self.feed: film})

    def by_zone(self, columns: Array) -> Array:
        """Sums over the columns (last axis) of each zone."""
        sums = [columns[..., slice(*zone)].sum(axis=-1, dtype=np.float64) for zone in self.zones]
        return np.stack(sums, axis=-1)

    def prints_um(self, solution: Solution) -> Array:
        """Mean film on the image of each zone of a settled print; 0 where a zone has no image."""
        if not solution.ok or solution.answers is None:
            raise ValueError(f"not settled ({solution.outcome.value}): there is no print to read")
        printed = (self.demand.coverage * solution.answers.sheet_um).sum(axis=0, dtype=np.float64)
        return self.films_of(printed)

    def films_of(self, printed: Array) -> Array:
        """Mean film of each zone from the ink printed by column (last axis) in one revolution (um x cells)."""
        image, ink = self.image_cells, self.by_zone(printed)
        return np.asarray(np.divide(ink, image, out=np.zeros(ink.shape), where=image > 0))


def zone_columns(edges_mm: tuple[float, ...], grid: Grid) -> Zones:
    """Columns of zones with these edges across the train: each edge goes to the nearest edge of a column."""
    edges = [min(grid.columns, max(0, round(edge / grid.across_mm))) for edge in edges_mm]
    return tuple(pairwise(edges))
