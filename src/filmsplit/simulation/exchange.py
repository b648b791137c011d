"""The laws of ``filmsplit.ink`` written into rows of films in place: what the marching kernel does in a nip.

Rows are steps, columns are places across. ``moved`` is what the first surface gains and the second loses.
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


def roll(a: Array, b: Array, *, share: float) -> None:
    """Perfect rolling contact."""
    total = a + b
    np.multiply(total, share, out=a)
    np.subtract(total, a, out=b)


def roll_badly(a: Array, b: Array, *, share: float, contact: Array) -> None:
    """Imperfect rolling contact: both go the fraction ``contact`` of the way."""
    moved = b * share
    moved -= a * (1.0 - share)
    moved *= contact
    a += moved
    b -= moved


def form(a: Array, plate: Array, *, share: float, cover: Array, image: Array) -> None:
    """Form roller ``a`` on the plate, whose film is per image area; ``image`` is 1 where ``cover`` is not 0."""
    total = a + plate
    np.multiply(total, 1.0 - share, out=plate)
    plate *= image
    total *= share
    total -= a
    total *= cover
    a += total


def form_badly(a: Array, plate: Array, *, share: float, cover: Array, contact: Array) -> None:
    """The same for an imperfect contact."""
    moved = plate * share
    moved -= a * (1.0 - share)
    moved *= contact
    a += moved * cover
    plate -= moved * (cover > 0)


def roll_sideways(a: Array, b: Array, *, share: float, pieces: tuple[Overlap, ...]) -> None:
    """Surfaces standing sideways to each other exchange by overlapped area; what overhangs keeps its film."""
    moved = [_moved(a, b, share=share, piece=piece) for piece in pieces]
    for piece, gain in zip(pieces, moved, strict=True):
        a[:, piece.a] += gain
        b[:, piece.b] -= gain


def form_sideways(a: Array, plate: Array, *, share: float, cover: Array, pieces: tuple[Overlap, ...]) -> None:
    """An oscillating form roller on the plate."""
    moved = [_moved(a, plate, share=share, piece=piece) for piece in pieces]
    for piece, gain in zip(pieces, moved, strict=True):
        covered = cover[:, piece.b]
        a[:, piece.a] += gain * covered
        plate[:, piece.b] -= gain * (covered > 0)


def _moved(a: Array, b: Array, *, share: float, piece: Overlap) -> Array:
    moved = b[:, piece.b] * share
    moved -= a[:, piece.a] * (1.0 - share)
    moved *= piece.area
    return moved
