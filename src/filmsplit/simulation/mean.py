"""Mean films: the train with every film replaced by its mean over arc and travel, block by block across.

Exact for a train without oscillators under coverage that is constant round the plate; otherwise an estimate. It costs
one small linear solve, so it answers at once, and it is what the settled solve starts from and is corrected with.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.simulation.blocks import Blocks, blocks_of, stands
from filmsplit.simulation.demand import Loaded
from filmsplit.simulation.mean_laws import MeanLaws
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.state import State
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import CellLoop, Train

Entries = tuple[NDArray[np.int64], NDArray[np.int64], Array]
"""Rows, columns and values of a sparse matrix."""

LEAK = 1e-12
"""Part of every film that is lost on each arc: films that nothing feeds and nothing takes come out as 0."""


@dataclass(eq=False)
class MeanTrain:
    """Mean films of one train under one demand; built and factorised once.

    Films are those arriving at each stop, by stop and block (volume per travel; plate and blanket per image area).
    States that go in and out stand at ``step``. Where the sheet takes no fixed share, ``blanket_um`` is the film by
    block at which it is asked what share it takes, or (``tangent``) what share of a small change.
    """

    train: Train
    loaded: Loaded
    step: int = 0
    blanket_um: Array | None = None
    tangent: bool = False

    @cached_property
    def stops(self) -> tuple[Stop, ...]:
        return stops_of(self.train)

    @cached_property
    def across(self) -> Blocks:
        """The blocks across."""
        return blocks_of(self.train)

    @cached_property
    def laws(self) -> MeanLaws:
        """What each stop takes and adds."""
        return MeanLaws(self.train, self.loaded, self.across, blanket_um=self.blanket_um, tangent=self.tangent)

    @property
    def cover(self) -> Array:
        """Mean coverage of each block over the whole plate."""
        return self.laws.cover

    @cached_property
    def films(self) -> Array:
        """The settled mean films, by stop and block."""
        return self.solve(self._sources)

    def solve(self, sources: Array) -> Array:
        """Films that answer given sources (per stop and block, per step of travel)."""
        flat = np.where(self._dead, 0.0, sources).ravel()
        return np.asarray(self._factorised.solve(flat)).reshape(sources.shape)

    def state(self, films: Array | None = None) -> State:
        """A state that carries the given films (default the settled ones) all along each arc."""
        given = self.films if films is None else films
        cells = np.zeros((self.train.cells, self.train.grid.columns), dtype=self.train.dtype)
        for stop, film in zip(self.stops, given, strict=True):
            cells[stop.rows] = self.across.spread(film, stands=self._stands(stop.loop))
        return State(self.step, self.masked(cells))

    def returning(self, feed: int) -> Array:
        """Film by column that the train's roller brings to a feed's ductor."""
        loop = self.train.feeds[feed].loop
        number = next(i for i, nip in enumerate(self.train.nips) if loop in (nip.a, nip.b))
        side = 1 if self.train.nips[number].a == loop else 0
        stop = next(i for i, s in enumerate(self.stops) if (s.kind, s.number, s.side) == ("nip", number, side))
        return self.across.spread(self.films[stop], stands=0.0)

    @property
    def print_um(self) -> Array:
        """Film arriving at the sheet, by block."""
        sheet = next((i for i, stop in enumerate(self.stops) if stop.kind == "sheet"), None)
        return np.zeros(self.across.count) if sheet is None else np.asarray(self.films[sheet])

    def correction(self, change: Array, *, steps: int) -> Array:
        """The film to add everywhere so that a change of ``change`` over ``steps`` steps would stop (approximately)."""
        films = self.solve(self._restricted(change) / steps)
        return self.state(films).films

    def masked(self, cells: Array) -> Array:
        """Cells kept only where there can be a film: on the faces, and on image for plate and blanket."""
        for loop in self.train.loops:
            rows = cells[loop.rows]
            rows[:, : loop.first] = 0
            rows[:, loop.end :] = 0
            if loop.role is not LoopRole.ROLLER:
                rows *= self._image(loop)
        return cells

    def _stands(self, loop: int) -> float:
        return stands(self.train.loops[loop].swing, step=self.step)

    def _image(self, loop: CellLoop) -> Array:
        lead = self.train.blanket_lead if loop.role is LoopRole.BLANKET else 0
        return np.roll(self.loaded.image, -lead, axis=0)

    def _restricted(self, change: Array) -> Array:
        """Ink that came into each arc, by block, per width (film x cells); plate and blanket per mean coverage."""
        ink = np.zeros((len(self.stops), self.across.count))
        for i, stop in enumerate(self.stops):
            loop = self.train.loops[stop.loop]
            if loop.role is LoopRole.ROLLER:
                ink[i] = (
                    self.across.gathered(
                        change[stop.rows].sum(axis=0, dtype=np.float64), stands=self._stands(stop.loop)
                    )
                    / self.laws.faces[stop.loop]
                )
                continue
            lead = self.train.blanket_lead if loop.role is LoopRole.BLANKET else 0
            cover = self.loaded.cover[(stop.rows - loop.offset + lead) % loop.cells]
            column = (change[stop.rows] * cover).sum(axis=0, dtype=np.float64)
            ink[i] = self.across.means(column) / np.maximum(self.laws.cover, 1e-300)
        return ink / self._pace[:, None]

    @cached_property
    def _dead(self) -> Array:
        """Stops and blocks without a film: plate and blanket where there is no image."""
        roles = np.array([self.train.loops[stop.loop].role is not LoopRole.ROLLER for stop in self.stops])
        return np.asarray(roles[:, None] & (self.laws.cover <= 0)[None, :])

    @cached_property
    def _pace(self) -> Array:
        """Cells that pass each stop per step of travel: 1, less for a ductor."""
        return np.array([self.laws.turned(stop.loop)[0] for stop in self.stops])

    @cached_property
    def _factorised(self) -> Any:
        from scipy.sparse import csc_array  # noqa: PLC0415  (costly to import, not needed to march)
        from scipy.sparse.linalg import splu  # noqa: PLC0415

        rows, columns, parts = self._passing_on()
        everywhere = np.arange(self._dead.size)
        rows, columns = np.concatenate([rows, everywhere]), np.concatenate([columns, everywhere])
        values = np.concatenate([-parts, np.full(self._dead.size, 1 + LEAK)])
        return splu(csc_array((values, (rows, columns)), shape=(self._dead.size, self._dead.size)))

    def _passing_on(self) -> Entries:
        """Matrix that gives the films arriving at the stops from those one stop earlier: rows, columns and values."""
        partner = {(s.kind, s.number, 1 - s.side): i for i, s in enumerate(self.stops)}
        found: list[Entries] = []
        for i, stop in enumerate(self.stops):
            takes, adds = self.laws.of(stop)
            to, at, part = self._carried(stop)
            for source, law in ((i, 1.0 - takes), (partner.get((stop.kind, stop.number, stop.side), i), adds)):
                found.append((stop.following * self.across.count + to, source * self.across.count + at, part * law[at]))
        rows, columns = (np.concatenate([each[i] for each in found]) for i in (0, 1))
        values = np.concatenate([each[2] for each in found])
        dead = self._dead.ravel()
        alive = (values != 0) & ~dead[rows] & ~dead[columns]
        return rows[alive], columns[alive], values[alive]

    def _carried(self, stop: Stop) -> Entries:
        """How an oscillating roller moves films sideways between this stop and the next: block to, block at, part."""
        loop, every = self.train.loops[stop.loop], np.arange(self.across.count)
        if loop.swing is None:
            return every, every, np.ones(every.size)
        moved = self.across.moved(loop, delay=self.stops[stop.following].rows.size)
        to, at = np.nonzero(moved)
        return to, at, moved[to, at]

    @cached_property
    def _sources(self) -> Array:
        """Ink that the feeds bring to each stop, per step."""
        sources = np.zeros((len(self.stops), self.across.count))
        for stop in self.stops:
            if stop.kind != "feed":
                continue
            feed = self.train.feeds[stop.number]
            columns = np.zeros(self.train.grid.columns)
            columns[feed.first : feed.end] = self.loaded.supplies[stop.number][feed.first : feed.end]
            part = self.laws.turned(stop.loop)[2] if feed.ductor is not None else 1.0
            face = self.laws.faces[feed.loop]
            sources[stop.following] += part * feed.supply.train_share * self.across.means(columns) / face
        return sources
