"""Grey dots as deflated data, band by band: what packs well is packed, what does not is stored, which is faster."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

WHITE = 255
FASTEST, STORED = 1, 0
TRIED = 1 << 14
"""Bytes of a band by which it is judged whether packing is worth its time."""
WORTH = 0.4
"""Packed to less than that it is worth it (measured: pictures from cameras pack to 0.6 and take ten times as long)."""
HEADER, END = b"\x78\x01", b"\x03\x00"
"""Of a zlib stream (RFC 1950, 2.2), and its last, empty block (RFC 1951, 3.2.3)."""


@dataclass(slots=True)
class Deflated:
    """Collects what is added, and remembers whether anything was not white."""

    is_white: bool = True
    _parts: list[bytes] = field(default_factory=lambda: [HEADER])
    _sum: int = 1

    def add(self, dots: NDArray[np.uint8]) -> None:
        """A band of dots."""
        data = np.ascontiguousarray(dots).tobytes()
        self.is_white = self.is_white and data.count(WHITE) == len(data)
        self._sum = zlib.adler32(data, self._sum)
        middle = len(data) // 2
        tried = data[middle : middle + TRIED]
        level = FASTEST if len(zlib.compress(tried, FASTEST)) < WORTH * len(tried) else STORED
        packer = zlib.compressobj(level, zlib.DEFLATED, -zlib.MAX_WBITS)
        # A full flush ends at a whole byte and looks back at nothing, so bands follow each other as they are.
        self._parts += (packer.compress(data), packer.flush(zlib.Z_FULL_FLUSH))

    def data(self) -> bytes:
        """The whole of it, as FlateDecode takes it."""
        return b"".join((*self._parts, END, self._sum.to_bytes(4, "big")))
