"""Deflated data unpacked as they are asked for, from front to back: what is done with is not held."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field
from typing import Any

STEP, CHUNK = 1 << 16, 1 << 20


@dataclass(slots=True)
class Inflating:
    """``is_short`` once more was asked for than there is; zeros are given for it."""

    packed: bytes
    is_short: bool = False
    _unpacker: Any = field(default_factory=zlib.decompressobj)
    _fed: int = 0
    _at: int = 0
    _held: bytearray = field(default_factory=bytearray)

    def read(self, start: int, stop: int) -> bytes:
        """Bytes from, up to. To go back is to begin anew."""
        if start < self._at:
            self._unpacker, self._fed, self._at, self._held = zlib.decompressobj(), 0, 0, bytearray()
        while self._at < start:
            self._take(min(start - self._at, CHUNK))
        return self._take(stop - start)

    def _take(self, count: int) -> bytes:
        while len(self._held) < count and self._more():
            pass
        found = bytes(self._held[:count])
        del self._held[:count]
        self._at += count
        if len(found) < count:
            self.is_short = True
            found += bytes(count - len(found))
        return found

    def _more(self) -> bool:
        """Whether anything could be unpacked: not beyond the end, nor beyond what is damaged."""
        rest = self._unpacker.unconsumed_tail
        if not rest:
            rest = self.packed[self._fed : self._fed + STEP]
            self._fed += len(rest)
        if not rest or self._unpacker.eof:
            return False
        try:
            self._held += self._unpacker.decompress(rest, CHUNK)
        except zlib.error:
            self._fed = len(self.packed)
            self._unpacker = zlib.decompressobj()
            return False
        return True
