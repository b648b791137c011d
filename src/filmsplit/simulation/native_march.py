"""Handing a march to the C kernel: the same work, told by addresses and numbers, some revolutions at a time."""

from __future__ import annotations

import ctypes
import math
from itertools import pairwise
from threading import Thread

import numpy as np

from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation import native
from filmsplit.simulation.native_part import NativePart
from filmsplit.simulation.train import Train
from filmsplit.simulation.work import Work

CELLS_AT_ONCE = 1 << 26
"""Cells passing nips in one call, about a tenth of a second: no more, so that the program can be stopped meanwhile."""

PART_BYTES = 1 << 22
"""Films of a part, where nothing oscillates and each can march by itself: they stay in the cache all the while."""


class NativeMarch:
    """One march in C, each thread with its own columns. It writes into the arrays of ``work``."""

    def __init__(self, work: Work, *, cores: int = 1) -> None:
        self._work = work
        columns, reach = work.train.grid.columns, _reach(work.train)
        if reach:
            count = self._threads = max(1, min(cores, columns // reach))  # none reaches beyond its neighbour
        else:
            count = min(columns, cores * max(1, round(_bytes(work.train) / (cores * PART_BYTES))))
            self._threads = min(cores, count)
        edges = [columns * i // count for i in range(count + 1)]
        self._parts = [NativePart(work, first, end=end, reach=reach) for first, end in pairwise(edges)]
        self._arrived = ctypes.c_int64()
        if reach:
            self._introduce()

    def _introduce(self) -> None:
        """Parts that fetch columns from each other."""
        for part in self._parts:
            part.join(self._arrived, parts=len(self._parts))
        for left, right in pairwise(self._parts):
            left.meet(right)

    @staticmethod
    def possible(work: Work) -> bool:
        """Whether the kernel is there and knows the law on the sheet."""
        return isinstance(work.loaded.transfer, FixedShare) and native.library() is not None

    def march(self, last: int) -> None:
        """March to the step ``last``, whole revolutions."""
        at_once = max(1, CELLS_AT_ONCE // self._cells) * self._work.train.grid.rows
        for step in range(self._work.before.step, last, at_once):
            self._march_to(step, min(step + at_once, last))
        for part in self._parts:
            part.pack(last)

    def _march_to(self, step: int, end: int) -> None:
        """Every part at once, the first in this thread."""
        route = self._parts[0].route(step, end)
        for part in self._parts:
            part.follow(route)
        self._arrived.value = 0
        others = [Thread(target=self._march_parts, args=(number,)) for number in range(1, self._threads)]
        try:
            for other in others:
                other.start()
        except RuntimeError:  # no more threads to be had: let those go that wait for them
            self._arrived.value = 1 << 62
            raise
        self._march_parts(0)
        for other in others:
            other.join()

    def _march_parts(self, thread: int) -> None:
        """Every so many-th part: one, where they wait for each other."""
        for part in self._parts[thread :: self._threads]:
            native.march(part.asked, self._work.train.dtype)

    @property
    def _cells(self) -> int:
        """Cells that pass a nip in a revolution."""
        train = self._work.train
        return max(1, len(train.order) * train.grid.rows * train.grid.columns)


def _bytes(train: Train) -> int:
    """What the films of all loops take up."""
    return train.cells * train.grid.columns * np.dtype(train.dtype).itemsize


def _reach(train: Train) -> int:
    """Columns by which a cell may lie beyond the one that it meets; 0 where nothing oscillates."""
    strokes = [0.0 if loop.swing is None else loop.swing.half_stroke for loop in train.loops]
    meeting = [(nip.a, nip.b) for nip in train.nips if train.loops[nip.a].swing != train.loops[nip.b].swing]
    apart = [strokes[a] + strokes[b] for a, b in meeting] + [strokes[feed.loop] for feed in train.feeds]
    return math.ceil(max(apart, default=0.0)) + 1 if any(apart) else 0
