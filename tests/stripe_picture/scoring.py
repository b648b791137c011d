"""Hold readings against what was drawn."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image

from filmsplit.messages import Refusal
from filmsplit.stripe_picture.photo import Photo
from filmsplit.stripe_picture.read import read_stripes
from stripe_picture.drawn_pictures import Drawn, Scene, Shot, draw

PROMISED_MM = 0.15


@dataclass(frozen=True)
class Scored:
    """``errors_mm`` and ``stated_mm`` by station; ``refused`` holds the slugs where nothing was read."""

    errors_mm: tuple[float, ...] = ()
    stated_mm: tuple[float, ...] = ()
    mean_error_mm: float = float("nan")
    right_place: bool = False
    taper_error_mm: float = float("nan")
    refused: tuple[str, ...] = ()

    @property
    def kept(self) -> bool:
        """Whether the promise held: read, and every width within it."""
        return bool(self.errors_mm) and max(map(abs, self.errors_mm)) <= PROMISED_MM

    @property
    def kept_mean(self) -> bool:
        return bool(self.errors_mm) and abs(self.mean_error_mm) <= PROMISED_MM


def photo_of(drawn: Drawn) -> Photo:
    return Photo(np.asarray(Image.open(io.BytesIO(drawn.jpeg)).convert("RGB")), "drawn")


def score(scene: Scene, shot: Shot) -> Scored:
    drawn = draw(scene, shot)
    try:
        reading = read_stripes(photo_of(drawn))
    except Refusal as refusal:
        return Scored(refused=tuple(each.slug for each in refusal.problems))
    stripe = reading.cards[0].stripe
    errors = tuple(each.width_mm - drawn.width_at(each.along_mm) for each in stripe.stations)
    places = list(type(stripe.place)) if stripe.place else []
    return Scored(
        errors_mm=errors,
        stated_mm=tuple(each.uncertainty_mm for each in stripe.stations),
        mean_error_mm=float(np.mean(errors)),
        right_place=bool(places) and places.index(stripe.place) == scene.card,
        taper_error_mm=stripe.shape.taper_mm - scene.taper,
    )
