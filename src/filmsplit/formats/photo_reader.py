"""Photos and scans in colours: PNG, JPEG and TIFF through Pillow, upright, never larger than memory allows."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from filmsplit.formats.picture_reader import no_surprises, without_bomb_alarm
from filmsplit.messages import Problem, Refusal
from filmsplit.stripe_picture.photo import Photo

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 360 * 2**20
"""Unpacked, three bytes to a dot: 120 million dots, more than any phone and A4 at 1 000 dots per inch."""
MOST_FILE_BYTES = 512 * 2**20
KINDS = ("PNG", "JPEG", "TIFF")
MODES = ("L", "RGB", "RGBA", "LA", "P", "1")


def read_photo(path: Path) -> Photo:
    """A photo with its dots as sRGB, turned as the camera says. Raises ``Refusal``.

    The file is only read; nothing of it is kept.
    """
    try:
        held = _held(path)
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(path), "detail": error.strerror or ""})) from error
    with no_surprises(str(path)):
        return Photo(dots=_dots(held, str(path)), name=path.name)


def _held(path: Path) -> io.BytesIO:
    size = path.stat().st_size
    if size > MOST_FILE_BYTES:
        raise Refusal(Problem("photo-too-large", _too_large(str(path), size)))
    return io.BytesIO(path.read_bytes())


def _dots(held: io.BytesIO, name: str) -> np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]:
    from PIL import Image, ImageOps  # noqa: PLC0415  # heavy

    with without_bomb_alarm(Image):
        picture = Image.open(held, formats=KINDS)
    problems = tuple(_not_read(picture, name))
    if problems:
        raise Refusal(problems)
    return np.asarray(_on_white(ImageOps.exif_transpose(picture)), dtype=np.uint8)


def _not_read(picture: Image, name: str) -> Iterator[Problem]:
    if picture.mode not in MODES:
        yield Problem("photo-kind-not-read", {"file": name, "kind": picture.mode})
    size = picture.height * picture.width * 3
    if size > MOST_BYTES:
        yield Problem("photo-too-large", _too_large(name, size))


def _too_large(name: str, size: int) -> dict[str, object]:
    return {"file": name, "megabytes": size / 2**20, "most": MOST_BYTES // 2**20}


def _on_white(picture: Image) -> Image:
    """Three colours; what is transparent shows white paper."""
    from PIL import Image as images  # noqa: N813, PLC0415  # heavy

    if picture.mode in ("RGBA", "LA") or "transparency" in picture.info:
        whole = picture.convert("RGBA")
        return images.alpha_composite(images.new("RGBA", whole.size, "white"), whole).convert("RGB")
    return picture.convert("RGB")
