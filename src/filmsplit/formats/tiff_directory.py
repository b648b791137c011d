"""The directories of a TIFF file: each page's tags as numbers and texts, nothing believed that the file cannot hold.

TIFF revision 6.0 (1992), sections 2 and 8, and the BigTIFF layout (offsets of 8 bytes, magic number 43).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, BinaryIO, Literal

import numpy as np
from numpy.typing import NDArray

from filmsplit.messages import Problem, Refusal

MOST_PAGES = 64
MOST_TAGS = 2000
MOST_BYTES_IN_A_TAG = 64 * 2**20


class Tag(IntEnum):
    """The tags that bear on coverage, by their numbers in the specification."""

    NewSubfileType = 254
    ImageWidth = 256
    ImageLength = 257
    BitsPerSample = 258
    Compression = 259
    PhotometricInterpretation = 262
    FillOrder = 266
    StripOffsets = 273
    Orientation = 274
    SamplesPerPixel = 277
    RowsPerStrip = 278
    StripByteCounts = 279
    XResolution = 282
    YResolution = 283
    PlanarConfiguration = 284
    PageName = 285
    T4Options = 292
    ResolutionUnit = 296
    Predictor = 317
    TileWidth = 322
    TileLength = 323
    TileOffsets = 324
    TileByteCounts = 325
    InkSet = 332
    InkNames = 333
    DotRange = 336
    ExtraSamples = 338
    SampleFormat = 339


_TYPES = {1: "u1", 2: "S1", 3: "u2", 4: "u4", 5: "u4", 7: "u1", 16: "u8"}
"""Kinds of value by their number: byte, text, short, long, rational (two longs), undefined, long8."""
_RATIONAL, _TEXT = 5, 2

_FRACTIONS, _TEXTS = (Tag.XResolution, Tag.YResolution), (Tag.PageName, Tag.InkNames)
"""What is a fraction or a text; everything else is a whole number."""

Value = NDArray[np.float64] | NDArray[np.int64] | str


@dataclass(frozen=True, slots=True)
class Directory:
    """One page: its number from 1, and its values by tag."""

    page: int
    values: Mapping[int, Value]

    def text(self, tag: Tag) -> str:
        value = self.values.get(tag, "")
        return value if isinstance(value, str) else ""

    def numbers(self, tag: Tag) -> NDArray[np.int64] | NDArray[np.float64] | None:
        """The numbers of a tag, ``None`` where it is not there or holds a text."""
        value = self.values.get(tag)
        return None if value is None or isinstance(value, str) or value.size == 0 else value


def read_directories(file: BinaryIO, size: int, *, name: str) -> tuple[Directory, ...]:
    """Every page of an open TIFF file of ``size`` bytes. Raises ``Refusal`` where the structure cannot be followed."""
    return tuple(_Reader(file, size, name).directories())


class _Reader:
    """Follows the chain of directories, checking every step against the size of the file."""

    def __init__(self, file: BinaryIO, size: int, name: str) -> None:
        self.file, self.size, self.name, self.page = file, size, name, 0
        head = self._bytes(0, 8)
        self.order: Literal["<", ">"] = "<" if head[:2] == b"II" else ">"
        self.big = self._number(head[2:4], "H") == 43
        self.word = "Q" if self.big else "L"

    def directories(self) -> Iterator[Directory]:
        at = self._number(self._bytes(8, 8), "Q") if self.big else self._number(self._bytes(4, 4), "L")
        seen: set[int] = set()
        while at:
            self.page += 1
            if at in seen:
                raise self._damaged()
            if self.page > MOST_PAGES:
                raise Refusal(Problem("tiff-too-many-pages", {"file": self.name, "most": MOST_PAGES}))
            seen.add(at)
            values, at = self._directory(at)
            yield Directory(self.page, values)
        if not seen:
            raise self._damaged()

    def _directory(self, at: int) -> tuple[dict[int, Value], int]:
        head, entry, link = (8, 20, 8) if self.big else (2, 12, 4)
        count = self._number(self._bytes(at, head), "Q" if self.big else "H")
        if not 0 < count <= MOST_TAGS:
            raise self._damaged()
        table = self._bytes(at + head, count * entry + link)
        known = set(Tag)
        values = {}
        for begin in range(0, count * entry, entry):
            tag = self._number(table[begin : begin + 2], "H")
            if tag in known:
                values[tag] = self._value(tag, table[begin + 2 : begin + entry])
        return values, self._number(table[-link:], self.word)

    def _value(self, tag: int, entry: bytes) -> Value:
        """The value an entry holds or points to; ``entry`` is what follows the tag's number."""
        kind, count = self._number(entry[:2], "H"), self._number(entry[2 : len(entry) // 2 + 1], self.word)
        if kind not in _TYPES or (kind == _RATIONAL) != (tag in _FRACTIONS) or (kind == _TEXT) != (tag in _TEXTS):
            raise self._damaged()
        each = np.dtype(_TYPES[kind]).newbyteorder(self.order)
        length = count * each.itemsize * (2 if kind == _RATIONAL else 1)
        if length > MOST_BYTES_IN_A_TAG:
            raise self._damaged()
        inside = entry[len(entry) // 2 + 1 :]
        data = inside[:length] if length <= len(inside) else self._bytes(self._number(inside, self.word), length)
        if kind == _TEXT:
            return data.rstrip(b"\0").decode("utf-8", "replace")
        numbers = np.frombuffer(data, each)
        if kind == _RATIONAL:
            return _quotients(numbers[0::2], numbers[1::2])
        return _whole(numbers)

    def _bytes(self, at: int, count: int) -> bytes:
        if at + count > self.size:
            values = {"file": self.name, "size": self.size, "needed": at + count}
            raise Refusal(Problem("plate-file-cut-short", values))
        self.file.seek(at)
        return self.file.read(count)

    def _number(self, data: bytes, kind: str) -> int:
        return int(struct.unpack(self.order + kind, data)[0])

    def _damaged(self) -> Refusal:
        return Refusal(Problem("tiff-directory-damaged", {"file": self.name, "page": self.page}))


def _quotients(above: NDArray[Any], below: NDArray[Any]) -> NDArray[np.float64]:
    """Not a number where something is divided by nothing."""
    out = np.full(above.shape, np.nan)
    np.divide(above, below, out=out, where=below != 0)
    return out


def _whole(numbers: NDArray[Any]) -> NDArray[np.int64]:
    """As 64 bits with a sign; what is beyond them becomes the largest, which no file can hold."""
    held = np.minimum(numbers, np.uint64(np.iinfo(np.int64).max)) if numbers.dtype.itemsize == 8 else numbers
    return held.astype(np.int64)
