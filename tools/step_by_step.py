"""A train marched one step at a time with NumPy, as anybody would write it first: the yardstick for both kernels.

It knows what the demo presses have: oscillators, ductors and fountains, coverage, perfect contact, a fixed share to the
sheet. What it computes is compared with the engine before any time is taken.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation.demand import Demand, load
from filmsplit.simulation.train import NipKind, Train
from filmsplit.simulation.work import segments

Array = NDArray[np.float64]


class StepByStep:
    """A train, empty to begin with; ``films`` holds the rows of each loop's surface, ``sheet`` the last print."""

    def __init__(self, train: Train, demand: Demand) -> None:
        assert all(nip.contact is None for nip in train.nips)
        assert isinstance(demand.transfer, FixedShare)
        self._train, self._tau, self._loaded = train, demand.transfer.tau, load(train, demand)
        columns = train.grid.columns
        self.films = [np.zeros((loop.cells, columns)) for loop in train.loops]
        self.sheet = np.zeros((train.grid.rows, columns))
        self.turned = dict.fromkeys(train.ductor_of, 0)

    def march(self, revolutions: int) -> None:
        """Whole revolutions from the first step on."""
        end = revolutions * self._train.grid.rows
        when = np.arange(end, dtype=np.float64)
        places = [np.zeros(end) if loop.swing is None else loop.swing.at(when) for loop in self._train.loops]
        shifts = [places[nip.a] - places[nip.b] for nip in self._train.nips]
        wholes = [np.floor(shift) for shift in shifts]
        self._shift = [whole.astype(int).tolist() for whole in wholes]
        self._part = [(shift - whole).tolist() for shift, whole in zip(shifts, wholes, strict=True)]
        for segment in segments(self._train, 0, end):
            for number in segment.sweeping:
                self._sweep(number)
            for step in range(segment.first, segment.end):
                self._step(step, segment.resting)

    def _step(self, step: int, resting: frozenset[int]) -> None:
        train = self._train
        nips, feeds = len(train.nips), len(train.feeds)
        for number in train.order:
            if number < nips:
                if train.nips[number].a not in resting and train.nips[number].b not in resting:
                    self._nip(number, step)
            elif number < nips + feeds:
                self._feed(number - nips, step)
            else:
                self._print(step)
        for loop in self.turned:
            self.turned[loop] += loop not in resting

    def _row(self, loop: int, at: int, step: int) -> int:
        return (self.turned.get(loop, step) - at) % self._train.loops[loop].cells

    def _nip(self, number: int, step: int) -> None:
        nip = self._train.nips[number]
        row_b = self._row(nip.b, nip.at_b, step)
        a, b = self.films[nip.a][self._row(nip.a, nip.at_a, step)], self.films[nip.b][row_b]
        cover = self._loaded.cover[row_b] if nip.kind is NipKind.FORM else None
        if self._train.loops[nip.a].swing != self._train.loops[nip.b].swing:
            self._sideways(number, step, films=(a, b), cover=cover)
            return
        (first, end), (first_b, end_b) = self._train.loops[nip.a].face, self._train.loops[nip.b].face
        on = slice(max(first, first_b), min(end, end_b))
        moved = nip.share * b[on] - (1.0 - nip.share) * a[on]
        a[on] += moved if cover is None else moved * cover[on]
        b[on] -= moved if cover is None else moved * (cover[on] > 0)

    def _sideways(self, number: int, step: int, *, films: tuple[Array, Array], cover: Array | None) -> None:
        nip, (a, b) = self._train.nips[number], films
        (first_a, end_a), (first_b, end_b) = self._train.loops[nip.a].face, self._train.loops[nip.b].face
        pieces = []
        shift, part = self._shift[number][step], self._part[number][step]
        for by, area in ((shift, 1.0 - part), (shift + 1, part)):
            first, end = max(first_a, first_b - by), min(end_a, end_b - by)
            on_a, on_b = slice(first, end), slice(first + by, end + by)
            pieces.append((on_a, on_b, area * (nip.share * b[on_b] - (1.0 - nip.share) * a[on_a])))
        for on_a, on_b, moved in pieces:
            a[on_a] += moved if cover is None else moved * cover[on_b]
            b[on_b] -= moved if cover is None else moved * (cover[on_b] > 0)

    def _feed(self, number: int, step: int) -> None:
        feed = self._train.feeds[number]
        if feed.ductor is None:
            self._take_in(number, self._row(feed.loop, feed.at, step), 1.0)

    def _sweep(self, number: int) -> None:
        feed, sweep = self._train.feeds[number], self._loaded.sweeps[number]
        row = self._row(feed.loop, feed.at, 0)
        for done in range(int(sweep) + 1):
            self._take_in(number, (row + done) % self._train.loops[feed.loop].cells, min(1.0, sweep - done))
        self.turned[feed.loop] += round(sweep)

    def _take_in(self, number: int, row: int, part: float) -> None:
        feed = self._train.feeds[number]
        film, on = self.films[feed.loop][row], slice(feed.first, feed.end)
        share = feed.supply.train_share
        film[on] += part * (share * self._loaded.supplies[number][on] - (1.0 - share) * film[on])

    def _print(self, step: int) -> None:
        assert self._train.sheet is not None
        loop, at = self._train.sheet
        row = self._row(loop, at, step)
        taken = self._tau * self.films[loop][row]
        self.films[loop][row] -= taken
        self.sheet[(row + self._train.blanket_lead) % self._train.grid.rows] = taken
