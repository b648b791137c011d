"""Match found discs to scale cards: where each card lies in the picture, and how flat, near and sharp it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from filmsplit.numerics.homography import Homography, fit_homography
from filmsplit.stripe_picture.card import (
    BOX_MM,
    BOXES_MM,
    CARD_HEIGHT_MM,
    CARD_WIDTH_MM,
    DISC_RADIUS_MM,
    DISCS,
    REACH_MM,
    Disc,
    Place,
)
from filmsplit.stripe_picture.discs import FoundDisc
from filmsplit.stripe_picture.photo import Array, Photo

LEAST_DISCS = 5
"""Four discs fit any four places; the fifth shows that they are a card."""
MOST_OFF_MM = 0.6
"""How far a disc may lie from its place on a flat card and still count."""
MOST_ALIKE = 8
ALIKE = 1.2
"""How much larger or smaller than its card wants it a disc may look."""
FLATTEST = 0.5
"""Foreshortening from 60 degrees off straight above; flatter ones are discs of several cards mixed up."""
_LEVEL = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class CardInPhoto:
    """A card that was found. ``to_px`` takes mm on the card to dots (column, row) of the picture."""

    to_px: Homography
    place: Place | None
    residual_mm: float
    discs: int

    @property
    def px_per_mm(self) -> float:
        """Dots to a millimetre, along the direction in which they are fewest, in the middle of what is read."""
        return float(np.linalg.svd(self._stretch)[1][1])

    @property
    def foreshortening(self) -> float:
        """The shorter of two equal lengths against the longer one; 1 for a picture taken from straight above."""
        long, short = np.linalg.svd(self._stretch)[1]
        return float(short / long)

    @property
    def _stretch(self) -> Array:
        return self.to_px.stretch((CARD_WIDTH_MM / 2, CARD_HEIGHT_MM + REACH_MM / 2))


def find_cards(discs: Sequence[FoundDisc], photo: Photo) -> list[CardInPhoto]:
    """The cards in a picture, best first; no disc belongs to two."""
    fits = sorted(_fits(discs), key=lambda fit: (-len(fit[0]), fit[2]))
    taken: set[FoundDisc] = set()
    cards = []
    for pairs, to_px, residual_mm in fits:
        own = {found for _, found in pairs}
        if not own & taken:
            taken |= own
            cards.append(CardInPhoto(to_px, _place(photo, to_px), residual_mm, len(pairs)))
    return cards


Pairs = tuple[tuple[Disc, FoundDisc], ...]


def _fits(discs: Sequence[FoundDisc]) -> Iterator[tuple[Pairs, Homography, float]]:
    """Every way to lay a card on five discs or more."""
    alike = {disc.holes: [f for f in discs if f.holes == disc.holes][:MOST_ALIKE] for disc in DISCS}
    seen = set()
    for four in combinations(DISCS, 4):
        if len({disc.x_mm for disc in four}) == 2 or len({(d.x_mm, d.y_mm) for d in four if d.y_mm == 9.0}) == 2:
            for found in product(*(alike[disc.holes] for disc in four)):
                pairs = _grown(tuple(zip(four, found, strict=True)), alike)
                if len(pairs) >= LEAST_DISCS and pairs not in seen:
                    seen.add(pairs)
                    to_px, residual_mm = _fitted(pairs)
                    if residual_mm < MOST_OFF_MM and _possible(pairs, to_px):
                        yield pairs, to_px, residual_mm


def _grown(four: Pairs, alike: dict[int, list[FoundDisc]]) -> Pairs:
    """The four pairs and every further disc that lies where the card laid on them wants it."""
    to_px = fit_homography(*_points(four))
    if not _possible(four, to_px):
        return ()
    pairs = []
    for disc in DISCS:
        own = dict(four).get(disc)
        wanted = to_px(np.array([disc.x_mm, disc.y_mm]))
        near = [own] if own else alike[disc.holes]
        off = [np.hypot(*(wanted - (f.x_px, f.y_px))) / f.radius_px * DISC_RADIUS_MM for f in near]
        if off and min(off) < 3 * MOST_OFF_MM:
            pairs.append((disc, near[int(np.argmin(off))]))
    return tuple(pairs)


def _possible(pairs: Pairs, to_px: Homography) -> bool:
    """Whether the card is seen from its front, not all too flat, and its discs are as large as they would be."""
    for disc, found in pairs:
        stretch = to_px.stretch((disc.x_mm, disc.y_mm))
        size, (long, short) = np.linalg.det(stretch), np.linalg.svd(stretch)[1]
        if size <= 0 or short < FLATTEST * long:
            return False
        if not 1 / ALIKE < np.sqrt(size) * DISC_RADIUS_MM / found.radius_px < ALIKE:
            return False
    return True


def _points(pairs: Pairs) -> tuple[Array, Array]:
    return np.array([(d.x_mm, d.y_mm) for d, _ in pairs]), np.array([(f.x_px, f.y_px) for _, f in pairs])


def _fitted(pairs: Pairs) -> tuple[Homography, float]:
    """The map and the largest distance of a disc from its place, once the middles are those of projected circles."""
    places, found = _points(pairs)
    to_px = fit_homography(places, found)
    for _ in range(2):
        shift = [to_px(np.array(p)) - to_px.middle_of_circle(tuple(p), DISC_RADIUS_MM) for p in places]
        to_px = fit_homography(places, found + np.array(shift))
    seen = np.array([to_px.middle_of_circle(tuple(p), DISC_RADIUS_MM) for p in places])
    scale = np.array([np.sqrt(abs(np.linalg.det(to_px.stretch(tuple(p))))) for p in places])
    return to_px, float((np.linalg.norm(seen - found, axis=1) / scale).max())


def _place(photo: Photo, to_px: Homography) -> Place | None:
    """Which box is filled; ``None`` where that cannot be told."""
    side = np.linspace(-0.3 * BOX_MM, 0.3 * BOX_MM, 7)
    grid = np.stack(np.meshgrid(side, side), axis=-1)
    light = {place: float(np.nanmean(photo.light_at(to_px(grid + middle)))) for place, middle in BOXES_MM.items()}
    dark = min(light, key=lambda place: light[place])
    others = [value for place, value in light.items() if place is not dark]
    return dark if light[dark] < _LEVEL * min(others) else None


def blur_mm(photo: Photo, card: CardInPhoto) -> float:
    """How far the printed rims of the discs are smeared across the stripe: sigma of the smear, in mm."""
    reach = np.arange(-1.6, 1.6, 0.05)
    turns = np.radians([*range(45, 136, 6), *range(225, 316, 6)])
    rings = np.stack([np.outer(np.cos(turns), DISC_RADIUS_MM + reach), np.outer(np.sin(turns), DISC_RADIUS_MM + reach)])
    sigmas = []
    for disc in DISCS:
        places = np.moveaxis(rings, 0, -1) + np.array((disc.x_mm, disc.y_mm))
        rim = np.median(photo.light_at(card.to_px(places)).mean(axis=2), axis=0)
        sigmas.append(_sigma(reach, rim))
    known = [sigma for sigma in sigmas if np.isfinite(sigma)]
    return float(np.median(known)) if known else float("inf")


def _sigma(reach_mm: Array, rim: NDArray[np.floating]) -> float:
    """Half the distance from 16 to 84 % of the step from disc to paper."""
    dark, light = np.mean(rim[:6]), np.mean(rim[-6:])
    if not light > dark:
        return float("nan")
    step = np.maximum.accumulate((rim - dark) / (light - dark))
    low, high = (float(reach_mm[int(np.argmax(step >= level))]) for level in (0.16, 0.84))
    return (high - low) / 2
