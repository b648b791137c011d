"""How the dots of one page are stored, checked before a single one is unpacked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from math import ceil

import numpy as np
from numpy.typing import NDArray

Integers = NDArray[np.int64]


class Packing(IntEnum):
    """Compression schemes that are read, by their numbers in the specification."""

    NONE = 1
    CCITT_RLE = 2
    CCITT_G3 = 3
    CCITT_G4 = 4
    LZW = 5
    DEFLATE = 8
    PACKBITS = 32773
    OLD_DEFLATE = 32946

    @property
    def is_fax(self) -> bool:
        return self in (Packing.CCITT_RLE, Packing.CCITT_G3, Packing.CCITT_G4)


class Photometric(IntEnum):
    """What a value means."""

    WHITE_IS_ZERO = 0
    BLACK_IS_ZERO = 1
    SEPARATED = 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """The strips or tiles of a page: where they are in the file, and how many dots one has. ``down`` and ``across``
    are how many there are in one plane.
    """

    tiled: bool
    offsets: Integers
    lengths: Integers
    height: int
    width: int
    down: int
    across: int

    @property
    def of_a_plane(self) -> int:
        return self.down * self.across


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """One page. ``samples`` counts inks; ``planes`` is as many where each ink lies apart, otherwise 1."""

    page: int
    height: int
    width: int
    bits: int
    samples: int
    planes: int
    packing: Packing
    photometric: Photometric
    reversed_bits: bool
    differences: bool
    t4_options: int
    orientation: int
    dots_per_mm: tuple[float, float]
    inks: tuple[str, ...]
    pieces: Pieces

    @property
    def together(self) -> int:
        """Inks that lie side by side in a plane."""
        return self.samples // self.planes

    @property
    def ink_is_high(self) -> bool:
        """Whether a great value, or a one, is ink."""
        return self.photometric is not Photometric.BLACK_IS_ZERO

    def bytes_of(self, dots: int) -> int:
        """Bytes of a row of so many dots."""
        return ceil(dots * self.together * self.bits / 8)

    def rows_of(self, pieces: Integers) -> Integers:
        """Rows that each piece holds: the last strip may be shorter, a tile is always whole."""
        if self.pieces.tiled:
            return np.full(pieces.shape, self.pieces.height)
        down = pieces % self.pieces.of_a_plane
        return np.minimum(self.pieces.height, self.height - down * self.pieces.height)
