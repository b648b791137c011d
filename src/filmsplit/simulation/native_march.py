"""Handing a march to the C kernel: the same work, told by addresses and numbers."""

from __future__ import annotations

import ctypes
from typing import TYPE_CHECKING, Any

import numpy as np

from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation import native
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.train import CellFeed, CellNip, NipKind

if TYPE_CHECKING:
    from filmsplit.simulation.march import Work

_ROLL, _FORM, _FEED, _TAKE = range(4)

_WEIGH = {LoopRole.ROLLER: 0, LoopRole.PLATE: 1, LoopRole.BLANKET: 2}


class NativeMarch:
    """One march in C. It writes into the arrays of ``work``; everything it points to is kept here."""

    def __init__(self, work: Work) -> None:
        self._work = work
        self._kept: list[Any] = []
        train, watched = work.train, work.watched
        self._seen = None if watched is None else np.zeros((len(train.nips), 6, train.grid.columns))
        self._numbers = [number for number in train.order if self._concerns(number)]
        self._items = (native.Work * len(self._numbers))()
        for item, number in zip(self._items, self._numbers, strict=True):
            self._describe(item, number)
        self._size = np.array([loop.cells for loop in train.loops], dtype=np.int64)
        self._surfaces = np.array([surface.ctypes.data for surface in work.surfaces], dtype=np.uintp)
        self._gain = np.zeros((2, train.grid.columns), dtype=train.dtype)
        ductors = np.zeros(len(train.loops), dtype=np.uintp)
        if watched is not None:
            for loop, films in watched.ductors.items():
                ductors[loop] = films.ctypes.data
        self._ductors = ductors if ductors.any() else None

    @staticmethod
    def possible(work: Work) -> bool:
        """Whether the kernel is there and knows the law on the sheet."""
        return isinstance(work.loaded.transfer, FixedShare) and native.library() is not None

    def stretch(self, step: int, end: int, *, resting: set[int]) -> None:
        """March from ``step`` to ``end``, between which no ductor changes over and no revolution ends."""
        work, train = self._work, self._work.train
        turn = (step - work.first_step) // train.grid.rows
        places = self._places(step, end)
        for item, number in zip(self._items, self._numbers, strict=True):
            self._set(item, number, places=places, resting=resting)
        start = np.array([work.turned.get(i, step) for i in range(len(train.loops))], dtype=np.int64)
        moves = np.array([i not in resting for i in range(len(train.loops))], dtype=np.int64)
        transfer = work.loaded.transfer
        assert isinstance(transfer, FixedShare)
        native.run(
            native.Stretch(
                works=len(self._items),
                loops=len(train.loops),
                columns=train.grid.columns,
                rows=train.grid.rows,
                block=train.block,
                lead=train.blanket_lead,
                step=step,
                steps=end - step,
                work=ctypes.addressof(self._items),
                surface=native.address(self._surfaces),
                size=native.address(self._size),
                start=native.address(start),
                moves=native.address(moves),
                cover=native.address(work.loaded.cover),
                image=native.address(work.loaded.image),
                blanket_cover=native.address(work.blanket_cover),
                takes=native.address(work.blanket_takes),
                sheet=native.address(work.sheet),
                sheet_sum=None if work.watched is None else native.address(work.watched.sheet),
                printed=native.address(work.printed[turn]),
                fed=native.address(work.fed[turn]),
                ductor_sum=native.address(self._ductors),
                tau=transfer.tau,
                gain=native.address(self._gain),
            ),
            train.dtype,
        )

    def finish(self) -> None:
        """Put what was seen where the marcher keeps it."""
        watched = self._work.watched
        if watched is not None and self._seen is not None:
            watched.arriving += self._seen[:, 0:2]
            watched.leaving += self._seen[:, 2:4]
            watched.weight += self._seen[:, 4:6]

    def _concerns(self, number: int) -> bool:
        """Whether a piece of work is done here: not an open nip, a ductor's sweep, or a sheet that is not there."""
        train = self._work.train
        nips, feeds = len(train.nips), len(train.feeds)
        if number < nips:
            return number not in self._work.open_nips
        if number < nips + feeds:
            return train.feeds[number - nips].ductor is None
        return self._work.loaded.running.sheets

    def _describe(self, item: native.Work, number: int) -> None:
        """What does not change during the march."""
        train = self._work.train
        nips, feeds = len(train.nips), len(train.feeds)
        item.active = 1
        if number < nips:
            self._describe_nip(item, number, nip=train.nips[number])
        elif number < nips + feeds:
            self._describe_feed(item, number - nips, feed=train.feeds[number - nips])
        else:
            assert train.sheet is not None
            item.kind, (item.a, item.at_a) = _TAKE, train.sheet

    def _describe_nip(self, item: native.Work, number: int, *, nip: CellNip) -> None:
        a, b = self._work.train.loops[nip.a], self._work.train.loops[nip.b]
        item.kind = _FORM if nip.kind is NipKind.FORM else _ROLL
        item.a, item.b, item.at_a, item.at_b, item.share = nip.a, nip.b, nip.at_a, nip.at_b, nip.share
        (item.first_a, item.end_a), (item.first_b, item.end_b) = a.face, b.face
        item.weigh_a, item.weigh_b = _WEIGH[a.role], _WEIGH[b.role]
        item.contact = native.address(self._keep(nip.contact))
        if self._seen is not None:
            item.seen = native.address(self._seen[number])

    def _describe_feed(self, item: native.Work, number: int, *, feed: CellFeed) -> None:
        work = self._work
        loop = work.train.loops[feed.loop]
        item.kind, item.a, item.at_a, item.share = _FEED, feed.loop, feed.at, 1.0 - feed.supply.train_share
        (item.first_a, item.end_a), item.first_b, item.end_b = loop.face, feed.first, feed.end
        item.volume = native.address(self._keep(feed.supply.train_share * work.loaded.supplies[number]))

    def _keep(self, array: Any) -> Any:
        self._kept.append(array)
        return array

    def _places(self, step: int, end: int) -> dict[int, Any]:
        """Places of the oscillating loops at every step."""
        when = np.arange(step, end, dtype=np.float64)
        return {i: loop.swing.at(when) for i, loop in enumerate(self._work.train.loops) if loop.swing is not None}

    def _set(self, item: native.Work, number: int, *, places: dict[int, Any], resting: set[int]) -> None:
        """What changes from stretch to stretch."""
        train = self._work.train
        nips = len(train.nips)
        if number >= nips + len(train.feeds):
            return
        if number >= nips:
            item.place_a = native.address(places.get(item.a))
            return
        item.active = int(item.a not in resting and item.b not in resting)
        if train.loops[item.a].swing != train.loops[item.b].swing:
            item.place_a, item.place_b = native.address(places.get(item.a)), native.address(places.get(item.b))
