"""Stretches of steps over which a nip works on unbroken rows and one whole-column shift."""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.exchange import Overlap
from filmsplit.simulation.train import CellSwing


@dataclass(frozen=True, slots=True)
class Stretch:
    """Steps ``first`` to ``end`` of a block, and the first row of each surface they meet."""

    first: int
    end: int
    row_a: int
    row_b: int

    @property
    def rows_a(self) -> slice:
        return slice(self.row_a, self.row_a + self.end - self.first)

    @property
    def rows_b(self) -> slice:
        return slice(self.row_b, self.row_b + self.end - self.first)


def stretches(
    start_a: int, start_b: int, *, around: tuple[int, int], steps: int, cuts: Sequence[int] = ()
) -> Iterator[Stretch]:
    """Cut ``steps`` steps where either surface comes round to its first row, and before each step in ``cuts``."""
    size_a, size_b = around
    row_a, row_b = start_a % size_a, start_b % size_b
    done = 0
    edges = iter((*cuts, steps))
    edge = next(edges)
    while done < steps:
        while edge <= done:
            edge = next(edges)
        length = min(edge - done, size_a - row_a, size_b - row_b)
        yield Stretch(done, done + length, row_a, row_b)
        done += length
        row_a, row_b = (row_a + length) % size_a, (row_b + length) % size_b


@dataclass(frozen=True, slots=True)
class Sideways:
    """How two surfaces stand to each other over a block: whole-column shift and rest, and where its pieces lie."""

    place_a: Array
    whole: Array
    rest: Array
    cuts: list[int]
    """Steps before which the whole-column shift changes."""

    def during(self, first: int, end: int) -> Sideways:
        """The same over part of the block."""
        cuts = [cut - first for cut in self.cuts[bisect(self.cuts, first) : bisect(self.cuts, end - 1)]]
        return Sideways(self.place_a[first:end], self.whole[first:end], self.rest[first:end], cuts)

    def pieces(
        self, stretch: Stretch, *, face_a: tuple[int, int], face_b: tuple[int, int], contact: Array | None = None
    ) -> tuple[Overlap, ...]:
        """The two overlapping pieces of each cell pair over one stretch, kept to both faces."""
        shift = int(self.whole[stretch.first])
        rest = self.rest[stretch.first : stretch.end, None]
        found = []
        for step, area in ((shift, 1.0 - rest), (shift + 1, rest)):
            first, end = max(face_a[0], face_b[0] - step), min(face_a[1], face_b[1] - step)
            if first < end:
                weight = area
                if contact is not None:
                    weight = area * self._contact(stretch, step - shift, span=(first, end), contact=contact)
                found.append(Overlap(slice(first, end), slice(first + step, end + step), weight))
        return tuple(found)

    def _contact(self, stretch: Stretch, piece: int, *, span: tuple[int, int], contact: Array) -> Array:
        """Contact share at the middle of each overlapping piece, read from the column it lies in."""
        rows = slice(stretch.first, stretch.end)
        rest = self.rest[rows]
        middle = self.place_a[rows] + (1.0 - rest / 2 if piece else (1.0 - rest) / 2)
        column = np.floor(middle)[:, None].astype(np.int64) + np.arange(*span)
        return np.asarray(contact[np.clip(column, 0, contact.size - 1)])


def sideways(a: CellSwing | None, b: CellSwing | None, *, start: int, steps: int) -> Sideways:
    """Places of two surfaces over a block of steps."""
    when = np.arange(start, start + steps, dtype=np.float64)
    place_a = a.at(when) if a is not None else np.zeros(steps)
    place_b = b.at(when) if b is not None else np.zeros(steps)
    shift = place_a - place_b
    whole = np.floor(shift)
    cuts = (np.flatnonzero(np.diff(whole)) + 1).tolist()
    return Sideways(place_a, whole, shift - whole, cuts)
