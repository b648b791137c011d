"""Write one plate as a TIFF file the way plate-setters do: one bit a dot, CCITT group 4, strip after strip.

TIFF revision 6.0 (1992), sections 2 and 11. The rows come a strip at a time, so that a plate of any size is written in
the memory of one strip. The strips are packed by libtiff.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.replace_file import replacing
from filmsplit.formats.tiff_directory import Tag

Told = Callable[[int, int], None]
"""Told rows done and rows in all."""
Rows = Callable[[int, int], NDArray[np.bool_]]
"""The dots of rows from the first to the last (left out), true where there is ink."""
STRIP_ROWS = 512
_SHORT, _LONG, _RATIONAL, _TEXT = 3, 4, 5, 2
_GROUP_4, _WHITE_IS_ZERO, _INCH = 4, 0, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateFile:
    """What stands in the head of the file. ``size`` is rows and columns."""

    size: tuple[int, int]
    dpi: float
    ink: str


def write_plate(path: Path, plate: PlateFile, rows: Rows, *, progress: Told | None = None) -> None:
    """Write the plate, whole or not at all, over what is there; ``progress`` is told rows done and rows in all."""
    with replacing(path) as file:
        file.write(struct.pack("<2sHL", b"II", 42, 0))
        sizes = []
        for first in range(0, plate.size[0], STRIP_ROWS):
            last = min(first + STRIP_ROWS, plate.size[0])
            sizes.append(file.write(group_4(rows(first, last))))
            if progress:
                progress(last, plate.size[0])
        _write_directory(file, plate, sizes)


def group_4(dots: NDArray[np.bool_]) -> bytes:
    """One strip of dots, packed. Pillow writes a one for every true dot, and ones are what the codes call black."""
    from PIL import Image  # noqa: PLC0415 - a picture library is wanted only where one is written

    height, width = dots.shape
    file = io.BytesIO()
    picture = Image.frombytes("1", (width, height), np.packbits(dots, axis=1).tobytes())
    picture.save(file, "TIFF", compression="group4", strip_size=1 << 30)
    tags = Image.open(file).tag_v2  # type: ignore[attr-defined]
    begin = tags[Tag.StripOffsets][0]
    return file.getvalue()[begin : begin + tags[Tag.StripByteCounts][0]]


def _write_directory(file: BinaryIO, plate: PlateFile, sizes: list[int]) -> None:
    """The directory behind the strips, and its place in the head. ``struct.error`` where 32 bits do not hold it."""
    lists = file.tell() + file.tell() % 2
    strips = len(sizes)
    offsets = 8 + np.cumsum([0, *sizes[:-1]])
    name = plate.ink.encode("utf-8") + b"\0"
    dpi = (round(plate.dpi * 1000), 1000)
    texts_at = lists + 8 * strips + 8
    entries = [
        (Tag.ImageWidth, _LONG, 1, plate.size[1]),
        (Tag.ImageLength, _LONG, 1, plate.size[0]),
        (Tag.BitsPerSample, _SHORT, 1, 1),
        (Tag.Compression, _SHORT, 1, _GROUP_4),
        (Tag.PhotometricInterpretation, _SHORT, 1, _WHITE_IS_ZERO),
        (Tag.StripOffsets, _LONG, strips, lists if strips > 1 else int(offsets[0])),
        (Tag.SamplesPerPixel, _SHORT, 1, 1),
        (Tag.RowsPerStrip, _LONG, 1, STRIP_ROWS),
        (Tag.StripByteCounts, _LONG, strips, lists + 4 * strips if strips > 1 else sizes[0]),
        (Tag.XResolution, _RATIONAL, 1, texts_at - 8),
        (Tag.YResolution, _RATIONAL, 1, texts_at - 8),
        (Tag.PageName, _TEXT, len(name), texts_at),
        (Tag.ResolutionUnit, _SHORT, 1, _INCH),
    ]
    if len(name) <= 4:
        raise ValueError("the name of the ink is too short to stand outside the directory")
    file.write(b"\0" * (file.tell() % 2))
    file.write(struct.pack(f"<{2 * strips}L2L", *map(int, offsets), *sizes, *dpi))
    directory = texts_at + len(name) + len(name) % 2
    file.write(name.ljust(directory - texts_at, b"\0"))
    file.write(struct.pack("<H", len(entries)))
    file.write(b"".join(struct.pack("<HHLL", *entry) for entry in entries) + struct.pack("<L", 0))
    file.seek(4)
    file.write(struct.pack("<L", directory))
