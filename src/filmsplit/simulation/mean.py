"""Mean films: the train with every film replaced by its mean over arc and travel, block by block across.

Exact for a train without oscillators under coverage that is constant round the plate; otherwise an estimate. It costs
one small linear solve, so it answers at once, and it is what the settled solve starts from and is corrected with.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.blocks import PHASES, Blocks, blocks_of, stands
from filmsplit.simulation.demand import Loaded, is_open
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.state import State
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import CellLoop, CellNip, NipKind, Train

LEAK = 1e-12
"""Part of every film that is lost on each arc: films that nothing feeds and nothing takes come out as 0."""

DUCTOR_CYCLES = 12
"""Ductor cycles over which its meeting with an oscillating roller is averaged."""


@dataclass(eq=False)
class MeanTrain:
    """Mean films of one train under one demand; built and factorised once.

    Films are those arriving at each stop, by stop and block (volume per travel; plate and blanket per image area).
    """

    train: Train
    loaded: Loaded
    blanket_um: Array | None = None

    @cached_property
    def stops(self) -> tuple[Stop, ...]:
        return stops_of(self.train)

    @cached_property
    def across(self) -> Blocks:
        """The blocks across."""
        return blocks_of(self.train)

    @cached_property
    def cover(self) -> Array:
        """Mean coverage of each block over the whole plate."""
        return self.across.means(self.loaded.cover.mean(axis=0, dtype=np.float64))

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
            cells[stop.rows] = self.across.spread(film, stands=stands(self.train.loops[stop.loop].swing))
        return State(0, self.masked(cells))

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

    def _image(self, loop: CellLoop) -> Array:
        lead = self.train.blanket_lead if loop.role is LoopRole.BLANKET else 0
        return np.roll(self.loaded.image, -lead, axis=0)

    def _restricted(self, change: Array) -> Array:
        """Ink that came into each arc, by block, per width (film x cells); plate and blanket per mean coverage."""
        ink = np.zeros((len(self.stops), self.across.count))
        for i, stop in enumerate(self.stops):
            loop = self.train.loops[stop.loop]
            if loop.role is LoopRole.ROLLER:
                ink[i] = self.across.gathered(
                    change[stop.rows].sum(axis=0, dtype=np.float64), stands=stands(loop.swing)
                ) / self.across.face(loop)
                continue
            lead = self.train.blanket_lead if loop.role is LoopRole.BLANKET else 0
            cover = self.loaded.cover[(stop.rows - loop.offset + lead) % loop.cells]
            column = (change[stop.rows] * cover).sum(axis=0, dtype=np.float64)
            ink[i] = self.across.means(column) / np.maximum(self.cover, 1e-300)
        return ink / self._pace[:, None]

    @cached_property
    def _dead(self) -> Array:
        """Stops and blocks without a film: plate and blanket where there is no image."""
        roles = np.array([self.train.loops[stop.loop].role is not LoopRole.ROLLER for stop in self.stops])
        return np.asarray(roles[:, None] & (self.cover <= 0)[None, :])

    @cached_property
    def _pace(self) -> Array:
        """Cells that pass each stop per step of travel: 1, less for a ductor."""
        return np.array([self._turned(stop.loop)[0] for stop in self.stops])

    def _turned(self, loop: int) -> tuple[float, float, float]:
        """For a loop: cells turned per step, and the part of them made on the train and on the fountain."""
        for number, feed in enumerate(self.train.feeds):
            if feed.loop == loop and feed.ductor is not None:
                sweep = self.loaded.sweeps[number]
                turned = sweep + feed.ductor.dwell_train
                return turned / feed.ductor.cycle, feed.ductor.dwell_train / turned, sweep / turned
        return 1.0, 1.0, 1.0

    @cached_property
    def _factorised(self) -> Any:
        from scipy.sparse import eye_array  # noqa: PLC0415  (costly to import, not needed to march)
        from scipy.sparse.linalg import splu  # noqa: PLC0415

        matrix = eye_array(self._dead.size, format="csr") * (1 + LEAK) - self._passing_on()
        return splu(matrix.tocsc())

    def _passing_on(self) -> Any:
        """Matrix that gives the films arriving at the stops from those one stop earlier."""
        from scipy.sparse import block_array, csr_array, diags_array  # noqa: PLC0415

        count, blocks = len(self.stops), self.across.count
        parts: list[list[Any]] = [[None] * count for _ in range(count)]
        partner = {(s.kind, s.number, 1 - s.side): i for i, s in enumerate(self.stops)}
        for i, stop in enumerate(self.stops):
            takes, adds = self._law(stop)
            to, carried = stop.following, self._carried(stop)
            other = partner.get((stop.kind, stop.number, stop.side), i)
            for source, law in ((i, 1.0 - takes), (other, adds)):
                block = carried @ diags_array(law)
                parts[to][source] = block if parts[to][source] is None else parts[to][source] + block
        for i in range(count):
            parts[i][i] = csr_array((blocks, blocks)) if parts[i][i] is None else parts[i][i]
        alive = diags_array(np.logical_not(self._dead).ravel().astype(np.float64))
        return alive @ block_array(parts, format="csr") @ alive

    def _carried(self, stop: Stop) -> Any:
        """How an oscillating roller moves films sideways between this stop and the next."""
        from scipy.sparse import csr_array, eye_array  # noqa: PLC0415

        loop = self.train.loops[stop.loop]
        if loop.swing is None:
            return eye_array(self.across.count, format="csr")
        return csr_array(self.across.moved(loop, delay=self.stops[stop.following].rows.size))

    def _law(self, stop: Stop) -> tuple[Array, Array]:
        """Part of the arriving film that a stop takes, and part of the partner's that it adds, by block."""
        nothing = np.zeros(self.across.count)
        if stop.kind == "sheet":
            return self._take(), nothing
        if stop.kind == "feed":
            feed = self.train.feeds[stop.number]
            part = self._turned(stop.loop)[2] if feed.ductor is not None else 1.0
            return part * (1 - feed.supply.train_share) * self._feed_face(stop.number), nothing
        nip = self.train.nips[stop.number]
        if is_open(self.train, nip, running=self.loaded.running):
            return nothing, nothing
        own = self.train.loops[(nip.a, nip.b)[stop.side]]
        meet = self._meeting(nip) / self.across.face(own)
        if nip.kind is NipKind.FORM and stop.side == 0:
            meet = meet * self.cover
        part = self._activity(stop, nip)
        leave = (1 - nip.share) if stop.side == 0 else nip.share
        return part * leave * meet, part * (1 - leave) * meet

    def _activity(self, stop: Stop, nip: CellNip) -> float:
        """Part of the cells passing a stop that meet the partner there: all, but for a ductor and its partner."""
        own, partner = (nip.a, nip.b)[stop.side], (nip.b, nip.a)[stop.side]
        ductors = self.train.ductor_of
        if own in ductors:
            return self._turned(own)[1]
        return ductors[partner].dwell_train / ductors[partner].cycle if partner in ductors else 1.0

    def _meeting(self, nip: CellNip) -> Array:
        """Part of each block where the faces of a nip's two members meet, times the contact share."""
        loops = [self.train.loops[nip.a], self.train.loops[nip.b]]
        meet = self.across.present(loops, when=_dwells(self.train, nip))
        return meet if nip.contact is None else np.asarray(meet * self.across.means(nip.contact))

    def _take(self) -> Array:
        """Mean share that the sheet takes, by block."""
        if not self.loaded.running.sheets:
            return np.zeros(self.across.count)
        blanket = self.blanket_um if self.blanket_um is not None else np.ones(self.across.count)
        share = self.loaded.transfer.taken_um(blanket) / np.maximum(blanket, 1e-300)
        if self.loaded.takes is None:
            return np.asarray(share)
        taking = self.across.means((self.loaded.takes * self.loaded.cover).mean(axis=0, dtype=np.float64))
        return np.asarray(share * taking / np.maximum(self.cover, 1e-300))

    def _feed_face(self, number: int) -> Array:
        feed = self.train.feeds[number]
        loop = self.train.loops[feed.loop]
        inside = np.minimum(self.across.edges[1:], feed.end) - np.maximum(self.across.edges[:-1], feed.first)
        return np.asarray(np.clip(inside, 0, None) / np.diff(self.across.edges) / self.across.face(loop))

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
            part = self._turned(stop.loop)[2] if feed.ductor is not None else 1.0
            face = self.across.face(self.train.loops[feed.loop])
            sources[stop.following] += part * feed.supply.train_share * self.across.means(columns) / face
        return sources


def _dwells(train: Train, nip: CellNip) -> Array | None:
    """Steps at which a ductor's nip is closed, over some cycles; ``None`` for other nips.

    Where ductor and oscillator keep step, an end of the ductor may hardly ever meet the roller.
    """
    ductor = train.ductor_of.get(nip.a) or train.ductor_of.get(nip.b)
    if ductor is None:
        return None
    dwells = (ductor.train_dwell(cycle) for cycle in range(DUCTOR_CYCLES))
    return np.concatenate([np.linspace(first, end, PHASES) for first, end in dwells])
