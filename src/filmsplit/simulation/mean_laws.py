"""What mean films meet at each stop: the part of a film that it takes, and of the partner's that it adds, by block."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.blocks import PHASES, Blocks
from filmsplit.simulation.demand import Loaded, is_open
from filmsplit.simulation.ductor import conductance
from filmsplit.simulation.stops import Stop
from filmsplit.simulation.train import CellNip, NipKind, Train

NEAR = 1e-3
"""Part of a film by which it is changed to see how the sheet answers."""

DUCTOR_CYCLES = 48
"""Ductor cycles over which its meeting with an oscillating roller is averaged."""


@dataclass(eq=False)
class MeanLaws:
    """The laws of one train under one demand, averaged over travel and over the blocks across."""

    train: Train
    loaded: Loaded
    across: Blocks
    blanket_um: Array | None = field(default=None, kw_only=True)
    tangent: bool = field(default=False, kw_only=True)

    @cached_property
    def cover(self) -> Array:
        """Mean coverage of each block over the whole plate."""
        return self.across.means(self.loaded.cover.mean(axis=0, dtype=np.float64))

    def turned(self, loop: int) -> tuple[float, float, float]:
        """For a loop: cells turned per step, and the part of them made on the train and on the fountain."""
        return self._ductors.get(loop, (1.0, 1.0, 1.0))

    @cached_property
    def _ductors(self) -> dict[int, tuple[float, float, float]]:
        found = {}
        for number, feed in enumerate(self.train.feeds):
            if feed.ductor is None:
                continue
            turned = self.loaded.sweeps[number] + feed.ductor.dwell_train
            on_train = feed.ductor.dwell_train / turned
            carries = conductance(self.train, self.loaded, feed=number) / turned
            # fountain and train in a row: 1 / carries = 1 / (half on_fountain) + 1 / (half on_train) - 1
            on_fountain = 2.0 / max(1.0 / carries - 2.0 / on_train + 1.0, 1.0) if carries > 0 else 0.0
            found[feed.loop] = (turned / feed.ductor.cycle, on_train, on_fountain)
        return found

    def of(self, stop: Stop) -> tuple[Array, Array]:
        """Part of the arriving film that a stop takes, and part of the partner's that it adds, by block."""
        nothing = np.zeros(self.across.count)
        if stop.kind == "sheet":
            return self._take(), nothing
        if stop.kind == "feed":
            feed = self.train.feeds[stop.number]
            part = self.turned(stop.loop)[2] if feed.ductor is not None else 1.0
            return part * (1 - feed.supply.train_share) * self._feed_face(stop.number), nothing
        nip = self.train.nips[stop.number]
        if is_open(self.train, nip, running=self.loaded.running):
            return nothing, nothing
        meet = self._meetings[stop.number] / self.faces[(nip.a, nip.b)[stop.side]]
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
            return self.turned(own)[1]
        return ductors[partner].dwell_train / ductors[partner].cycle if partner in ductors else 1.0

    @cached_property
    def faces(self) -> list[Array]:
        """Part of each block that lies on each loop's face."""
        return [self.across.face(loop) for loop in self.train.loops]

    @cached_property
    def _meetings(self) -> list[Array]:
        return [self._meeting(nip) for nip in self.train.nips]

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
        transfer = self.loaded.transfer
        share = transfer.taken_um(blanket) / np.maximum(blanket, 1e-300)
        if self.tangent and not transfer.is_linear:
            share = (transfer.taken_um(blanket * (1 + NEAR)) - transfer.taken_um(blanket * (1 - NEAR))) / (
                2 * NEAR * np.maximum(blanket, 1e-300)
            )
        if self.loaded.takes is None:
            return np.asarray(share)
        taking = self.across.means((self.loaded.takes * self.loaded.cover).mean(axis=0, dtype=np.float64))
        return np.asarray(share * taking / np.maximum(self.cover, 1e-300))

    def _feed_face(self, number: int) -> Array:
        feed = self.train.feeds[number]
        inside = np.minimum(self.across.edges[1:], feed.end) - np.maximum(self.across.edges[:-1], feed.first)
        return np.asarray(np.clip(inside, 0, None) / np.diff(self.across.edges) / self.faces[feed.loop])


def _dwells(train: Train, nip: CellNip) -> Array | None:
    """Steps at which a ductor's nip is closed, over some cycles; ``None`` for other nips.

    Where ductor and oscillator keep step, an end of the ductor may hardly ever meet the roller.
    """
    ductor = train.ductor_of.get(nip.a) or train.ductor_of.get(nip.b)
    if ductor is None:
        return None
    dwells = (ductor.train_dwell(cycle) for cycle in range(DUCTOR_CYCLES))
    return np.concatenate([np.linspace(first, end, PHASES) for first, end in dwells])
