"""A small picture of numbered colours as PNG (ISO/IEC 15948), for drawings that hold more cells than lines can tell."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_BITS, _PALETTE_KIND, _MOST_COLOURS = 8, 3, 256


def palette_png(rows: Sequence[bytes], colours: Sequence[str]) -> bytes:
    """Rows of one byte per dot, each the number of its colour (``#rrggbb``), top row first."""
    if not rows or not rows[0] or len({len(row) for row in rows}) != 1:
        raise ValueError("a picture needs rows of one length, at least one dot")
    if not len(set(b"".join(rows))) <= max(b"".join(rows)) + 1 <= len(colours) <= _MOST_COLOURS:
        raise ValueError("every dot needs its colour")
    head = struct.pack(">IIBBBBB", len(rows[0]), len(rows), _BITS, _PALETTE_KIND, 0, 0, 0)
    palette = b"".join(bytes.fromhex(colour.removeprefix("#")) for colour in colours)
    dots = zlib.compress(b"".join(b"\x00" + row for row in rows), 9)
    return _SIGNATURE + _chunk(b"IHDR", head) + _chunk(b"PLTE", palette) + _chunk(b"IDAT", dots) + _chunk(b"IEND", b"")


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
