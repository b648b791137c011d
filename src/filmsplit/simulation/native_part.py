"""The columns that one thread of the C kernel marches, told by addresses and numbers."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation import native
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.train import CellFeed, CellNip, NipKind
from filmsplit.simulation.work import Segment, Work, segments

_ROLL, _FORM, _FEED, _TAKE, _SWEEP = range(5)

_WEIGH = {LoopRole.ROLLER: 0, LoopRole.PLATE: 1, LoopRole.BLANKET: 2}

SPARE = 16
"""Columns to spare at both ends of a row of gains, as in ``marching.c``."""

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Route:
    """Segments of some revolutions as the kernel reads them, and the places of the oscillating loops at every step."""

    steps: Numbers
    turn: Numbers
    start: Numbers
    moves: Numbers
    active: Numbers
    places: dict[int, Array]


class NativePart:
    """Columns ``first`` to ``end`` of a march, held with ``reach`` columns of the neighbours on either side."""

    def __init__(self, work: Work, first: int, *, end: int, reach: int) -> None:
        self._work, self._own = work, (first, end)
        self._held = max(0, first - reach), min(work.train.grid.columns, end + reach)
        self._kept: list[Any] = []
        self._surfaces = work.surfaces(*self._held)
        train = work.train
        self._numbers = [number for number in train.order if self._concerns(number)]
        self._items = (native.Work * len(self._numbers))()
        for item, number in zip(self._items, self._numbers, strict=True):
            self._describe(item, number)
        self.asked = self._described()

    def join(self, arrived: ctypes.c_int64, *, parts: int) -> None:
        """Count with so many parts who has arrived."""
        self.asked.arrived, self.asked.parts = ctypes.addressof(arrived), parts

    def meet(self, right: NativePart) -> None:
        """The neighbour on the right, who meets this one on the left."""
        self.asked.right, right.asked.left = ctypes.addressof(right.asked), ctypes.addressof(self.asked)

    def follow(self, route: Route) -> None:
        """March this route next."""
        asked, self._route = self.asked, route
        asked.segments = len(route.steps)
        asked.steps, asked.turn = native.address(route.steps), native.address(route.turn)
        asked.start, asked.moves, asked.active = map(native.address, (route.start, route.moves, route.active))
        for item in self._items:
            if item.slides:
                item.place_a = native.address(route.places.get(item.a))
                item.place_b = None if item.kind == _FEED else native.address(route.places.get(item.b))

    def pack(self, step: int) -> None:
        """Give the films of its own columns back."""
        first, end = (column - self._held[0] for column in self._own)
        self._work.pack([surface[:, first:end] for surface in self._surfaces], step, first=self._own[0])

    def route(self, first: int, end: int) -> Route:
        """The way through whole revolutions; ductors then stand where they will be at its end."""
        work, train = self._work, self._work.train
        turns = range(first, end, train.grid.rows)
        found = [segment for begin in turns for segment in segments(train, begin, begin + train.grid.rows)]
        loops = range(len(train.loops))
        start, moves, active = [], [], []
        for segment in found:
            for number in segment.sweeping:
                work.swept(number)
            start.append([work.turned.get(loop, segment.first) for loop in loops])
            moves.append([loop not in segment.resting for loop in loops])
            active.append(self._active(segment))
            work.turn(segment.steps, resting=segment.resting)
        when = np.arange(first, end, dtype=np.float64)
        return Route(
            steps=np.array([segment.steps for segment in found], dtype=np.int64),
            turn=np.array([work.revolution(segment.first) for segment in found], dtype=np.int64),
            start=np.array(start, dtype=np.int64),
            moves=np.array(moves, dtype=np.int64),
            active=np.array(active, dtype=np.int64),
            places={i: loop.swing.at(when) for i, loop in enumerate(train.loops) if loop.swing is not None},
        )

    def _active(self, segment: Segment) -> list[bool]:
        """Which pieces of work are done in a segment."""
        nips = len(self._work.train.nips)
        return [
            number - nips in segment.sweeping
            if item.kind == _SWEEP
            else item.a not in segment.resting and item.b not in segment.resting
            for item, number in zip(self._items, self._numbers, strict=True)
        ]

    def _described(self) -> native.March:
        """What does not change during the march."""
        work, train, (held, held_end) = self._work, self._work.train, self._held
        transfer, width = work.loaded.transfer, train.grid.columns
        assert isinstance(transfer, FixedShare)
        return native.March(
            works=len(self._items),
            loops=len(train.loops),
            columns=held_end - held,
            first=self._own[0] - held,
            end=self._own[1] - held,
            held=held,
            width=width,
            pitch=_pitch(self._surfaces[0]),
            cover_pitch=_pitch(work.cover),
            rows=train.grid.rows,
            block=train.block,
            parts=1,
            lead=train.blanket_lead,
            work=ctypes.addressof(self._items),
            surface=self._keep(np.array([surface.ctypes.data for surface in self._surfaces], dtype=np.uintp)),
            size=self._keep(np.array([loop.cells for loop in train.loops], dtype=np.int64)),
            cover=native.address(work.cover, held),
            takes=native.address(work.takes, held),
            sheet=native.address(work.sheet, held),
            sheet_sum=None if work.watched is None else native.address(work.watched.sheet, held),
            printed=native.address(work.printed, held),
            fed=native.address(work.fed, held),
            ductor_sum=self._ductor_sums(),
            tau=transfer.tau,
            gain=self._keep(np.zeros((2, held_end - held + 2 * SPARE), dtype=train.dtype)),
        )

    def _ductor_sums(self) -> int | None:
        watched = self._work.watched
        if watched is None or not watched.ductors:
            return None
        sums = np.zeros(len(self._work.train.loops), dtype=np.uintp)
        for loop, films in watched.ductors.items():
            sums[loop] = films.ctypes.data + self._held[0] * films.itemsize
        return self._keep(sums)

    def _concerns(self, number: int) -> bool:
        """Whether a piece of work is done here: not an open nip, or a sheet that is not there."""
        train = self._work.train
        if number < len(train.nips):
            return number not in self._work.open_nips
        return number < len(train.nips) + len(train.feeds) or self._work.loaded.running.sheets

    def _describe(self, item: native.Work, number: int) -> None:
        """What does not change during the march."""
        train = self._work.train
        nips, feeds = len(train.nips), len(train.feeds)
        if number < nips:
            self._describe_nip(item, number, nip=train.nips[number])
        elif number < nips + feeds:
            self._describe_feed(item, number - nips, feed=train.feeds[number - nips])
        else:
            assert train.sheet is not None
            item.kind, (item.a, item.at_a) = _TAKE, train.sheet
            item.b = item.a

    def _describe_nip(self, item: native.Work, number: int, *, nip: CellNip) -> None:
        a, b = self._work.train.loops[nip.a], self._work.train.loops[nip.b]
        item.kind = _FORM if nip.kind is NipKind.FORM else _ROLL
        item.a, item.b, item.at_a, item.at_b, item.share = nip.a, nip.b, nip.at_a, nip.at_b, nip.share
        (item.first_a, item.end_a), (item.first_b, item.end_b) = self._within(a.face), self._within(b.face)
        item.slides = a.swing != b.swing
        item.weigh_a, item.weigh_b = _WEIGH[a.role], _WEIGH[b.role]
        item.contact = self._keep(nip.contact)
        if self._work.watched is not None:
            item.seen = native.address(self._work.watched.nips[number], self._held[0])

    def _describe_feed(self, item: native.Work, number: int, *, feed: CellFeed) -> None:
        work = self._work
        loop = work.train.loops[feed.loop]
        item.kind, item.a, item.b, item.at_a = _FEED, feed.loop, feed.loop, feed.at
        item.first_a, item.end_a = self._within(loop.face)
        item.first_b, item.end_b = self._within((feed.first, feed.end))
        item.share, item.slides = 1.0 - feed.supply.train_share, loop.swing is not None
        item.volume = self._keep(feed.supply.train_share * work.loaded.supplies[number], self._held[0])
        if feed.ductor is not None:
            item.kind = _SWEEP
            item.whole, item.part = work.sweep(number)
            item.turns = round(work.loaded.sweeps[number])

    def _within(self, face: tuple[int, int]) -> tuple[int, int]:
        """A face in columns held here."""
        first, end = (min(max(column, self._held[0]), self._held[1]) - self._held[0] for column in face)
        return first, end

    def _keep(self, array: Array | Numbers | NDArray[np.uintp] | None, column: int = 0) -> int | None:
        """The address of an array that only the kernel reads, from a column on."""
        self._kept.append(array)
        return native.address(array, column)


def _pitch(rows: Array) -> int:
    """Cells from one row to the next."""
    return rows.strides[0] // rows.itemsize
