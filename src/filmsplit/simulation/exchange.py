"""The laws of ``filmsplit.ink`` written into rows of films in place: what the marching kernel does in a nip.

Rows are steps, columns are places across. ``moved`` is what the first surface gains and the second loses. Rows lie one
after another in memory wherever that can be: NumPy then takes all of them for one, twice as fast.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array


@dataclass(frozen=True, slots=True)
class Overlap:
    """Piece of two surfaces standing sideways to each other: columns ``a`` of one lie on columns ``b`` of the other.

    ``area`` is the part of a cell that overlaps, for each row (times the contact share, where that is not 1).
    """

    a: slice
    b: slice
    area: Array

    def flat(self, cells: int) -> tuple[slice, slice]:
        """Cells of either surface that lie on each other, all rows taken for one; beyond the piece without meaning."""
        shift = self.b.start - self.a.start
        first, end = max(0, -shift), cells - max(0, shift)
        return slice(first, end), slice(first + shift, end + shift)


class Room:
    """Rows to compute in, the same again and again: fresh memory would cost more than the sums."""

    def __init__(self, rows: int, columns: int, *, dtype: str) -> None:
        self._rows = np.zeros((4, rows, columns), dtype=dtype)

    def __call__(self, number: int, like: Array) -> Array:
        """Number 0 to 3, as large as ``like``."""
        return self._rows[number, : like.shape[0], : like.shape[1]]


def roll(a: Array, b: Array, *, share: float, room: Room) -> None:
    """Perfect rolling contact."""
    total = np.add(a, b, out=room(0, a))
    np.multiply(total, share, out=a)
    np.subtract(total, a, out=b)


def roll_badly(a: Array, b: Array, *, share: float, contact: Array, room: Room) -> None:
    """Imperfect rolling contact: both go the fraction ``contact`` of the way."""
    moved = _moved(a, b, share=share, room=room)
    moved *= contact
    a += moved
    b -= moved


def form(  # noqa: PLR0913  (all but two are named)
    a: Array, plate: Array, *, share: float, cover: Array, image: Array, room: Room
) -> None:
    """Form roller ``a`` on the plate, whose film is per image area; ``image`` is 1 where ``cover`` is not 0."""
    total = np.add(a, plate, out=room(0, a))
    np.multiply(total, 1.0 - share, out=plate)
    plate *= image
    total *= share
    total -= a
    total *= cover
    a += total


def form_badly(  # noqa: PLR0913  (all but two are named)
    a: Array, plate: Array, *, share: float, cover: Array, image: Array, contact: Array, room: Room
) -> None:
    """The same for an imperfect contact."""
    moved = _moved(a, plate, share=share, room=room)
    moved *= contact
    part = np.multiply(moved, cover, out=room(0, a))
    a += part
    plate -= np.multiply(moved, image, out=part)


def roll_sideways(a: Array, b: Array, *, share: float, pieces: tuple[Overlap, ...], room: Room) -> None:
    """Surfaces standing sideways to each other exchange by overlapped area; what overhangs keeps its film."""
    losing = b.reshape(-1)
    for piece, gain in zip(pieces, _gains(a, b, share=share, pieces=pieces, room=room), strict=True):
        on_a, on_b = piece.flat(a.size)
        a += gain
        loser = losing[on_b]
        loser -= gain.reshape(-1)[on_a]


def form_sideways(  # noqa: PLR0913  (all but two are named)
    a: Array, plate: Array, *, share: float, cover: Array, image: Array, pieces: tuple[Overlap, ...], room: Room
) -> None:
    """An oscillating form roller on the plate."""
    gaining, losing, covered, inked, part = (x.reshape(-1) for x in (a, plate, cover, image, room(0, a)))
    for piece, gain in zip(pieces, _gains(a, plate, share=share, pieces=pieces, room=room), strict=True):
        on_a, on_b = piece.flat(a.size)
        moved, scaled, gainer, loser = gain.reshape(-1)[on_a], part[on_a], gaining[on_a], losing[on_b]
        gainer += np.multiply(moved, covered[on_b], out=scaled)
        loser -= np.multiply(moved, inked[on_b], out=scaled)


def _moved(a: Array, b: Array, *, share: float, room: Room) -> Array:
    """What the first surface would gain in a perfect contact."""
    moved = np.multiply(b, share, out=room(1, b))
    moved -= np.multiply(a, 1.0 - share, out=room(0, a))
    return moved


def _gains(a: Array, b: Array, *, share: float, pieces: tuple[Overlap, ...], room: Room) -> list[Array]:
    """What the first surface gains over each piece, both reckoned from the films before; 0 beside it."""
    brought, kept = np.multiply(b, share, out=room(0, b)), np.multiply(a, 1.0 - share, out=room(1, a))
    brought, kept = brought.reshape(-1), kept.reshape(-1)
    gains = []
    for number, piece in enumerate(pieces, start=2):
        gain, (on_a, on_b) = room(number, a), piece.flat(a.size)
        np.subtract(brought[on_b], kept[on_a], out=gain.reshape(-1)[on_a])
        gain[:, : piece.a.start] = 0.0
        gain[:, piece.a.stop :] = 0.0
        within = gain if piece.area.shape[1] == 1 else gain[:, piece.a]
        within *= piece.area
        gains.append(gain)
    return gains
