"""Photos of a shop's own presses, in a folder: one of a unit, made plain, and what was tapped on it to scale it.

``CODE.jpg`` stands beside ``CODE.json``; a picture without the latter was broken off while it came in, and is nobody's.
Nothing else of the program reads this folder, so a photo gets into nothing that leaves the computer.
"""

from __future__ import annotations

import contextlib
import json
import math
import secrets
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from filmsplit.formats.photo_plain import PlainPhoto
from filmsplit.formats.replace_file import replace_file, write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.press.photo_scale import PhotoScale

FOLDER = "photos"
KIND = "filmsplit-photo 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPhoto:
    """The photo of a unit: where it lies, its size in dots, and its scale where that was told."""

    press: str
    unit: str
    path: Path
    wide: int
    high: int
    scale: PhotoScale | None


def photo_of(folder: Path, press: str, unit: str) -> KeptPhoto | None:
    """The photo of a unit, the newest where putting another in its place was broken off; ``None`` without one."""
    found = [each for each in kept_photos(folder) if (each.press, each.unit) == (press, unit)]
    return max(found, key=lambda each: (each.path.stat().st_mtime_ns, each.path.name), default=None)


def kept_photos(folder: Path) -> tuple[KeptPhoto, ...]:
    """Every whole photo of the folder."""
    return tuple(each for told in sorted(folder.glob("*.json")) if (each := _kept(told)) is not None)


def keep_photo(folder: Path, photo: PlainPhoto, *, press: str, unit: str) -> KeptPhoto:
    """Put a photo of a unit into the folder; what was there of that unit goes when the new one is whole."""
    before = [each for each in kept_photos(folder) if (each.press, each.unit) == (press, unit)]
    path = folder / f"{secrets.token_hex(8)}.jpg"
    write_file(path, photo.jpeg, over=False)
    kept = KeptPhoto(press=press, unit=unit, path=path, wide=photo.wide, high=photo.high, scale=None)
    _tell(kept)
    for each in before:
        drop_photo(each)
    return kept


def scale_photo(kept: KeptPhoto, scale: PhotoScale | None) -> KeptPhoto:
    """Keep the scale of a photo, or ``None`` to have it told again."""
    scaled = replace(kept, scale=scale)
    _tell(scaled)
    return scaled


def drop_photo(kept: KeptPhoto) -> None:
    """Take a photo away for good."""
    try:
        kept.path.with_suffix(".json").unlink(missing_ok=True)
        kept.path.unlink(missing_ok=True)
    except OSError as error:
        raise Refusal(Problem("file-not-written", {"file": kept.path.name, "reason": error.strerror or ""})) from error


def _tell(kept: KeptPhoto) -> None:
    told = {
        "filmsplit": KIND,
        "press": kept.press,
        "unit": kept.unit,
        "wide": kept.wide,
        "high": kept.high,
        "scale": None if kept.scale is None else asdict(kept.scale),
    }
    replace_file(kept.path.with_suffix(".json"), json.dumps(told, indent=1) + "\n")


def _kept(told: Path) -> KeptPhoto | None:
    """``None`` where what is told cannot be read, or the picture is gone: there is then nothing to show."""
    path = told.with_suffix(".jpg")
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        raw = json.loads(told.read_text(encoding="utf-8"))
        if raw["filmsplit"] == KIND and path.is_file():
            return KeptPhoto(
                press=str(raw["press"]),
                unit=str(raw["unit"]),
                path=path,
                wide=int(raw["wide"]),
                high=int(raw["high"]),
                scale=None if raw["scale"] is None else _scale(raw["scale"]),
            )
    return None


def _scale(raw: dict[str, Any]) -> PhotoScale:
    """:class:`ValueError` where it is none."""
    right, down = map(float, raw["middle"])
    mm_per_dot, tilt_deg = float(raw["mm_per_dot"]), float(raw["tilt_deg"])
    if not all(map(math.isfinite, (right, down, mm_per_dot, tilt_deg))) or mm_per_dot <= 0:
        raise ValueError(raw)
    return PhotoScale(mm_per_dot=mm_per_dot, tilt_deg=tilt_deg, middle=(right, down), mirrored=raw["mirrored"] is True)
