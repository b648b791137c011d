"""A photo of one's own press behind its drawing: kept in the shop's folder, scaled by taps, and in nothing exported."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path
from threading import BoundedSemaphore, Lock
from typing import BinaryIO

from filmsplit.actions.press_changes import OpenPress, open_press
from filmsplit.actions.shop import Shop
from filmsplit.formats.photo_plain import plain_photo
from filmsplit.formats.photo_store import FOLDER, KeptPhoto, drop_photo, keep_photo, photo_of, scale_photo
from filmsplit.formats.replace_file import replacing
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.photo_scale import Dot, ScaleTold, photo_scale
from filmsplit.press.roller import Point

AT_ONCE = BoundedSemaphore(1)
"""Photos are read one at a time: each takes a processor and much memory."""
_CHANGING = Lock()
LEAST_DIAMETER_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """A unit as far as it is described, and the photo behind it, if there is one."""

    opened: OpenPress
    unit: Unit
    photo: KeptPhoto | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """A roller as tapped on the photo: its axis on the press, and how thick it is where its rim was tapped too."""

    centre: Point
    diameter_mm: float | None


def behind(shop: Shop, name: str, unit: str) -> Behind:
    """A unit with its photo. :class:`Refusal` where the shop has no such press, or its file cannot be drawn."""
    opened = open_press(shop, name)
    if opened.press is None:
        raise Refusal(opened.problems)
    found = units_asked(opened.press, unit)[0]
    return Behind(opened=opened, unit=found, photo=photo_of(shop.folder / FOLDER, opened.name, found.id))


def put_photo(shop: Shop, name: str, unit: str, *, file: BinaryIO) -> KeptPhoto:
    """Keep a photo of a unit, made plain in a process of its own; :class:`Refusal` and the one before stays.

    The file as it came is gone at the end, and with it what the camera wrote into it.
    """
    found = behind(shop, name, unit)
    with AT_ONCE, tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo"
        with replacing(path) as brought:
            shutil.copyfileobj(file, brought)
        plain = plain_photo(path)
    with _CHANGING:
        return keep_photo(shop.folder / FOLDER, plain, press=found.opened.name, unit=found.unit.id)


def tell_scale(shop: Shop, name: str, unit: str, *, told: ScaleTold) -> None:
    """Scale the photo of a unit. :class:`Refusal` where there is none, or the taps do not tell a scale."""
    with _CHANGING:
        photo = _photo(behind(shop, name, unit))
        scale_photo(photo, photo_scale(told, longer_side=max(photo.wide, photo.high)))


def forget_scale(shop: Shop, name: str, unit: str) -> None:
    """Have the scale told again."""
    with _CHANGING:
        scale_photo(_photo(behind(shop, name, unit)), None)


def take_photo_away(shop: Shop, name: str, unit: str) -> None:
    """Delete the photo of a unit for good; one that is gone already is gone."""
    with _CHANGING:
        found = behind(shop, name, unit).photo
        if found is not None:
            drop_photo(found)


def tapped(photo: KeptPhoto, centre: Dot, *, rim: Dot | None) -> Tapped:
    """Where a roller tapped on a scaled photo lies on the press, to a tenth of a millimetre; taps tell no more.

    :class:`Refusal` where its rim was tapped upon its axis.
    """
    assert photo.scale is not None
    at = photo.scale.point(centre)
    diameter_mm = None if rim is None else round(2 * photo.scale.length_mm(centre, rim), 1)
    if diameter_mm is not None and diameter_mm < LEAST_DIAMETER_MM:
        raise Refusal(Problem("photo-rim-at-axis", {"diameter_mm": diameter_mm, "least_mm": LEAST_DIAMETER_MM}))
    return Tapped(centre=Point(x_mm=round(at.x_mm, 1), y_mm=round(at.y_mm, 1)), diameter_mm=diameter_mm)


def _photo(found: Behind) -> KeptPhoto:
    if found.photo is None:
        raise Refusal(Problem("photo-none", {"press": found.opened.name, "unit": found.unit.id}))
    return found.photo
