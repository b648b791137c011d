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
from filmsplit.simulation.demand import Loaded, is_open
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.state import State
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import CellLoop, CellNip, NipKind, Train

MOST_BLOCKS = 48
"""Blocks across where something oscillates; without, every column is a block of its own."""

LEAK = 1e-12
"""Part of every film that is lost on each arc: films that nothing feeds and nothing takes come out as 0."""

DUCTOR_CYCLES = 12
"""Ductor cycles over which its meeting with an oscillating roller is averaged."""

PHASES = 32
"""Phases at which sideways moves are averaged."""


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
    def edges(self) -> Array:
        """Edges of the blocks, in columns."""
        columns = self.train.grid.columns
        swings = any(loop.swing is not None for loop in self.train.loops)
        blocks = min(columns, MOST_BLOCKS) if swings else columns
        return np.round(np.linspace(0, columns, blocks + 1)).astype(np.float64)

    @cached_property
    def cover(self) -> Array:
        """Mean coverage of each block over the whole plate."""
        return self._blocks(self.loaded.cover.mean(axis=0, dtype=np.float64))

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
            cells[stop.rows] = self._spread(film, self._stands(stop))
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

    def _blocks(self, columns: Array) -> Array:
        """Means over blocks of values by column (last axis)."""
        starts = self.edges[:-1].astype(np.int64)
        return np.asarray(np.add.reduceat(columns, starts, axis=-1) / np.diff(self.edges))

    def _stands(self, stop: Stop) -> float:
        """Columns by which a loop stands to the gear side at travel 0."""
        swing = self.train.loops[stop.loop].swing
        return 0.0 if swing is None else float(swing.at(np.array([-0.5]))[0])

    def _spread(self, film: Array, stands: float) -> Array:
        """Values by block of the press put on a loop's own columns, with straight lines between middles of blocks."""
        places = np.arange(self.train.grid.columns) + 0.5 + stands
        if film.size == places.size and stands == 0.0:
            return film
        return np.asarray(np.interp(places, (self.edges[1:] + self.edges[:-1]) / 2, film))

    def _gathered(self, values: Array, stands: float) -> Array:
        """Values on a loop's own columns as means over the blocks of the press (an end's value goes on outside)."""
        if stands != 0.0:
            own = np.arange(values.size)
            values = np.interp(own - stands, own, values)
        return self._blocks(values)

    def _restricted(self, change: Array) -> Array:
        """Ink that came into each arc, by block, per width (film x cells); plate and blanket per mean coverage."""
        ink = np.zeros((len(self.stops), self.edges.size - 1))
        for i, stop in enumerate(self.stops):
            loop = self.train.loops[stop.loop]
            if loop.role is LoopRole.ROLLER:
                ink[i] = self._gathered(
                    change[stop.rows].sum(axis=0, dtype=np.float64), self._stands(stop)
                ) / self._face(loop)
                continue
            lead = self.train.blanket_lead if loop.role is LoopRole.BLANKET else 0
            cover = self.loaded.cover[(stop.rows - loop.offset + lead) % loop.cells]
            column = (change[stop.rows] * cover).sum(axis=0, dtype=np.float64)
            ink[i] = self._blocks(column) / np.maximum(self.cover, 1e-300)
        return ink / self._pace[:, None]

    def _face(self, loop: CellLoop) -> Array:
        """Part of each block that lies on the face, on the mean over a swing (1 where none ever does)."""
        part = self._present([loop])
        return np.where(part > 0, part, 1.0)

    def _present(self, loops: list[CellLoop], *, when: Array | None = None) -> Array:
        """Part of each block where the faces of all the given loops are, averaged over their swings (or ``when``)."""
        places = [_swung(loop, offset=i, when=when) for i, loop in enumerate(loops)]
        first = np.max([loop.first + place for loop, place in zip(loops, places, strict=True)], axis=0)
        end = np.min([loop.end + place for loop, place in zip(loops, places, strict=True)], axis=0)
        inside = np.minimum(self.edges[1:], end[:, None]) - np.maximum(self.edges[:-1], first[:, None])
        return np.asarray(np.clip(inside, 0, None).mean(axis=0) / np.diff(self.edges))

    def _dwells(self, nip: CellNip) -> Array | None:
        """Steps at which a ductor's nip is closed, over some cycles; ``None`` for other nips.

        Where ductor and oscillator keep step, an end of the ductor may hardly ever meet the roller.
        """
        ductor = self.train.ductor_of.get(nip.a) or self.train.ductor_of.get(nip.b)
        if ductor is None:
            return None
        dwells = (ductor.train_dwell(cycle) for cycle in range(DUCTOR_CYCLES))
        return np.concatenate([np.linspace(first, end, PHASES) for first, end in dwells])

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

        count, blocks = len(self.stops), self.edges.size - 1
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

        swing = self.train.loops[stop.loop].swing
        if swing is None:
            return eye_array(self.edges.size - 1, format="csr")
        delay = self.stops[stop.following].rows.size
        moved = _moved(self.edges, reach=2 * swing.half_stroke * abs(np.sin(np.pi * delay / swing.cycle)))
        from_face = moved * self._present([self.train.loops[stop.loop]])
        arriving = from_face.sum(axis=1, keepdims=True)
        return csr_array(np.where(arriving > 0, from_face / np.where(arriving > 0, arriving, 1.0), 0.0))

    def _law(self, stop: Stop) -> tuple[Array, Array]:
        """Part of the arriving film that a stop takes, and part of the partner's that it adds, by block."""
        nothing = np.zeros(self.edges.size - 1)
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
        meet = self._meeting(nip) / self._face(own)
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
        meet = self._present(loops, when=self._dwells(nip))
        return meet if nip.contact is None else np.asarray(meet * self._blocks(nip.contact))

    def _take(self) -> Array:
        """Mean share that the sheet takes, by block."""
        if not self.loaded.running.sheets:
            return np.zeros(self.edges.size - 1)
        blanket = self.blanket_um if self.blanket_um is not None else np.ones(self.edges.size - 1)
        share = self.loaded.transfer.taken_um(blanket) / np.maximum(blanket, 1e-300)
        if self.loaded.takes is None:
            return np.asarray(share)
        taking = self._blocks((self.loaded.takes * self.loaded.cover).mean(axis=0, dtype=np.float64))
        return np.asarray(share * taking / np.maximum(self.cover, 1e-300))

    def _feed_face(self, number: int) -> Array:
        feed = self.train.feeds[number]
        loop = self.train.loops[feed.loop]
        inside = np.minimum(self.edges[1:], feed.end) - np.maximum(self.edges[:-1], feed.first)
        return np.asarray(np.clip(inside, 0, None) / np.diff(self.edges) / self._face(loop))

    @cached_property
    def _sources(self) -> Array:
        """Ink that the feeds bring to each stop, per step."""
        sources = np.zeros((len(self.stops), self.edges.size - 1))
        for stop in self.stops:
            if stop.kind != "feed":
                continue
            feed = self.train.feeds[stop.number]
            columns = np.zeros(self.train.grid.columns)
            columns[feed.first : feed.end] = self.loaded.supplies[stop.number][feed.first : feed.end]
            part = self._turned(stop.loop)[2] if feed.ductor is not None else 1.0
            face = self._face(self.train.loops[feed.loop])
            sources[stop.following] += part * feed.supply.train_share * self._blocks(columns) / face
        return sources


def _moved(edges: Array, *, reach: float) -> Array:
    """Where films of each block are after a sideways move of up to ``reach`` columns, over all phases of a swing.

    What would leave an end is turned back, so that an even film stays even and no ink is lost.
    """
    low, high = edges[:-1], edges[1:]
    width = edges[-1] - edges[0]
    moved = np.zeros((low.size, low.size))
    for shift in reach * np.sin(2 * np.pi * (np.arange(PHASES) + 0.5) / PHASES):
        for first, end in ((low, high), (-high, -low), (2 * width - high, 2 * width - low)):
            inside = np.minimum(end[:, None], high[None, :] + shift) - np.maximum(first[:, None], low[None, :] + shift)
            moved += np.clip(inside, 0, None)
    return np.asarray(moved / PHASES / np.diff(edges)[:, None])


def _swung(loop: CellLoop, *, offset: int, when: Array | None) -> Array:
    """Places of a loop over a swing, or at given steps; two loops swing out of step (``offset``), as on the mean."""
    if when is not None:
        return np.zeros(when.size) if loop.swing is None else loop.swing.at(when)
    phases = np.arange(PHASES) + 0.5
    half_stroke = 0.0 if loop.swing is None else loop.swing.half_stroke
    return np.asarray(half_stroke * np.sin(2 * np.pi * phases / PHASES + offset * np.pi / 2))
