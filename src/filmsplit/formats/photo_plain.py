"""A photo somebody brings made plain: read in a process of its own, made smaller, and written anew without a word of
what the camera knew - where, when, by whom, with what."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from filmsplit.formats.bounded_process import Bounds, Progress, bounded
from filmsplit.formats.photo_reader import read_photo

LONGEST_SIDE = 2400
"""Dots: a unit a metre high is then drawn at about half a millimetre to the dot, finer than a finger."""
QUALITY = 85
BOUNDS = Bounds(memory_bytes=3 * 2**30, seconds=60.0, result_bytes=2**26)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainPhoto:
    """A JPEG with nothing but its dots, and how many there are."""

    jpeg: bytes
    wide: int
    high: int


def plain_photo(path: Path) -> PlainPhoto:
    """The photo at ``path`` made plain. :class:`Refusal` where it is none, or larger than memory allows."""
    return bounded(read_plain, path, file=path.name, bounds=BOUNDS)


def read_plain(path: Path, *, told: Progress) -> PlainPhoto:
    """What the other process does. Dots alone go from one picture to the other, so nothing else can come along."""
    from PIL import Image  # noqa: PLC0415  # heavy

    told(0, 1)
    picture = Image.fromarray(read_photo(path).dots)
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    written = io.BytesIO()
    picture.save(written, format="JPEG", quality=QUALITY)
    return PlainPhoto(jpeg=written.getvalue(), wide=picture.width, high=picture.height)
