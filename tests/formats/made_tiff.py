"""TIFF files made byte by byte for tests, after revision 6.0 of the specification; nothing of the product is used.

The CCITT strips come out of libtiff (through Pillow), the others from the codecs the specification describes.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import imagecodecs
import numpy as np
from PIL import Image

SHORT, LONG, RATIONAL, ASCII, LONG8 = 3, 4, 5, 2, 16
NUMBERS = {"none": 1, "rle": 2, "g3": 3, "g4": 4, "lzw": 5, "deflate": 8, "packbits": 32773}


def packbits(data: bytes) -> bytes:
    """Literal runs and repeats, each row apart in the specification; whole strips are allowed by every reader."""
    return bytes(imagecodecs.packbits_encode(np.frombuffer(data, np.uint8)))


def fax(rows: np.ndarray, packing: str) -> tuple[bytes, int]:
    """A strip of rows of 0 and 1 as libtiff packs it, one standing for black; and its T4Options."""
    name = {"g3": "group3", "g4": "group4", "rle": "tiff_ccitt"}[packing]
    file = io.BytesIO()
    # Mode "1" is written with BlackIsZero: Pillow's white (True) becomes a one, and ones are what the codes call black.
    Image.fromarray(rows.astype(bool)).save(file, "TIFF", compression=name, strip_size=1 << 30)
    tags = Image.open(io.BytesIO(file.getvalue())).tag_v2  # type: ignore[attr-defined]
    assert len(tags[273]) == 1
    return file.getvalue()[tags[273][0] :][: tags[279][0]], tags.get(292, 0)


PLAIN: dict[str, Callable[[bytes], bytes]] = {
    "none": bytes,
    "packbits": packbits,
    "lzw": lambda data: bytes(imagecodecs.lzw_encode(data)),
    "deflate": zlib.compress,
}


@dataclass
class Page:
    """One page: ``dots`` are rows x columns (bits: 0 and 1; or 8-bit values), or rows x columns x inks."""

    dots: np.ndarray
    packing: str = "none"
    photometric: int = 0
    bits: int = 1
    rows_per_strip: int = 0
    tile: tuple[int, int] | None = None
    fill_order: int = 1
    planar: int = 1
    predictor: int = 1
    dpi: tuple[float, float] | None = (2400.0, 2400.0)
    unit: int = 2
    more: dict[int, tuple[int, Any]] = field(default_factory=dict)
    """Further tags, or others in place of the usual: number -> (type, values)."""

    def planes(self) -> list[np.ndarray]:
        dots = self.dots if self.dots.ndim == 3 else self.dots[..., None]
        return [dots[..., [ink]] for ink in range(dots.shape[2])] if self.planar == 2 else [dots]


def pieces(page: Page) -> tuple[list[bytes], int]:
    """Packed strips or tiles in the order of the file, and T4Options."""
    found, options = [], 0
    for plane in page.planes():
        height, width = plane.shape[:2]
        rows, columns = page.tile or (page.rows_per_strip or height, width)
        for top in range(0, height, rows):
            for left in range(0, width, columns):
                part = plane[top : top + rows, left : left + columns]
                if page.tile:
                    part = np.pad(part, [(0, rows - part.shape[0]), (0, columns - part.shape[1]), (0, 0)])
                data, options = packed(part, page)
                found.append(data)
    return found, options


def packed(part: np.ndarray, page: Page) -> tuple[bytes, int]:
    options = 0
    if page.packing in ("g3", "g4", "rle"):
        data, options = fax(part[..., 0], page.packing)
    else:
        if page.predictor == 2:
            part = np.concatenate((part[:, :1], np.diff(part, axis=1)), axis=1).astype(np.uint8)
        rows = np.packbits(part[..., 0].astype(bool), axis=1) if page.bits == 1 else part.astype(np.uint8)
        data = PLAIN[page.packing](rows.tobytes())
    return (bytes(imagecodecs.bitorder_encode(data)) if page.fill_order == 2 else data), options


def tiff(*pages: Page, order: str = "<", big: bool = False) -> bytes:
    """The whole file."""
    file = bytearray()
    mark = b"II" if order == "<" else b"MM"
    word, size = ("Q", 8) if big else ("L", 4)
    file += mark + struct.pack(order + ("HHHQ" if big else "HL"), *((43, 8, 0, 16) if big else (42, 8)))
    for number, page in enumerate(pages):
        entries = _entries(page)
        head, entry = (8, 20) if big else (2, 12)
        table_at = len(file)
        table_size = head + entry * len(entries) + size
        extra = bytearray()
        data, _ = pieces(page)
        values_at = table_at + table_size
        offsets_tag = 324 if page.tile else 273
        table = bytearray(struct.pack(order + ("Q" if big else "H"), len(entries)))
        outside = {tag: _bytes(kind, values, order) for tag, (kind, values) in entries.items()}
        data_at = values_at + sum(len(each) + len(each) % 2 for each in outside.values() if len(each) > size)
        starts = data_at + np.cumsum([0, *(len(each) for each in data[:-1])])
        outside[offsets_tag] = _bytes(LONG, [int(each) for each in starts], order)
        for tag in sorted(entries):
            kind, _values = entries[tag]
            value = outside[tag]
            count = len(value) // {SHORT: 2, LONG: 4, RATIONAL: 8, ASCII: 1, LONG8: 8}[kind]
            table += struct.pack(order + "HH" + word, tag, kind, count)
            if len(value) <= size:
                table += value.ljust(size, b"\0")
            else:
                table += struct.pack(order + word, values_at + len(extra))
                extra += value + b"\0" * (len(value) % 2)
        end = data_at + sum(map(len, data))
        table += struct.pack(order + word, end if number + 1 < len(pages) else 0)
        file += table + extra + b"".join(data)
        assert len(file) == end
    return bytes(file)


def _entries(page: Page) -> dict[int, tuple[int, Any]]:
    height, width = page.dots.shape[:2]
    inks = page.dots.shape[2] if page.dots.ndim == 3 else 1
    data, options = pieces(page)
    entries: dict[int, tuple[int, Any]] = {
        256: (LONG, [width]),
        257: (LONG, [height]),
        258: (SHORT, [page.bits] * inks),
        259: (SHORT, [NUMBERS[page.packing]]),
        262: (SHORT, [page.photometric]),
        266: (SHORT, [page.fill_order]),
        277: (SHORT, [inks]),
        284: (SHORT, [page.planar]),
        317: (SHORT, [page.predictor]),
    }
    if page.packing == "g3":
        entries[292] = (LONG, [options])
    if page.dpi:
        entries |= {282 + each: (RATIONAL, [page.dpi[1 - each]]) for each in (0, 1)} | {296: (SHORT, [page.unit])}
    sizes = (LONG, [len(each) for each in data])
    if page.tile:
        entries |= {322: (LONG, [page.tile[1]]), 323: (LONG, [page.tile[0]]), 324: sizes, 325: sizes}
    else:
        entries |= {273: sizes, 278: (LONG, [page.rows_per_strip or height]), 279: sizes}
    return entries | page.more


def _bytes(kind: int, values: Any, order: str) -> bytes:
    if kind == ASCII:
        return bytes(values)
    if kind == RATIONAL:
        return b"".join(struct.pack(order + "LL", round(each * 1000), 1000) for each in values)
    return b"".join(struct.pack(order + {SHORT: "H", LONG: "L", LONG8: "Q"}[kind], each) for each in values)
