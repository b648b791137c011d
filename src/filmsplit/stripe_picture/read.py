"""A picture to widths: find the cards, then the stripe beside each, or say why not."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from filmsplit.messages import Problem, Refusal
from filmsplit.numerics.homography import Homography
from filmsplit.stripe_picture.band import find_band
from filmsplit.stripe_picture.card import CHECK_LINE_MM
from filmsplit.stripe_picture.card_in_photo import LEAST_DISCS, CardInPhoto, blur_mm, find_cards
from filmsplit.stripe_picture.discs import FoundDisc, find_discs
from filmsplit.stripe_picture.edges import straighten
from filmsplit.stripe_picture.photo import Photo
from filmsplit.stripe_picture.result import PictureReading, Quality, ReadCard, StripeAtCard
from filmsplit.stripe_picture.shape import shape_of
from filmsplit.stripe_picture.stations import stations_of

LEAST_PX_PER_MM = 4.0
MOST_BLUR_MM = 0.42
"""From here on the edges of a 2 mm stripe run into each other."""
STEEPEST = 0.82
"""Foreshortening of a picture taken 35 degrees from straight above."""
MOST_OFF_MM = 0.35
"""A disc further off its place lies on a card that is not flat."""
LEAST_READ = 0.6
"""Share of the places along the stripe that must be readable."""
LEAST_STATIONS = 4
FAINT_BARE = 0.35
CHECK_RANGE_MM = (90.0, 110.0)
COLOURS = ("red", "green", "blue", "mean")


def read_stripes(photo: Photo, *, check_line_mm: float | None = None) -> PictureReading:
    """The stripe beside every card in the picture. :class:`Refusal` where none could be read.

    ``check_line_mm`` is what the card's 100 mm line measures on the card as printed; 100 unless told.
    """
    line_mm = CHECK_LINE_MM if check_line_mm is None else check_line_mm
    if not CHECK_RANGE_MM[0] <= line_mm <= CHECK_RANGE_MM[1]:
        values = {"told_mm": line_mm, "low_mm": CHECK_RANGE_MM[0], "high_mm": CHECK_RANGE_MM[1]}
        raise Refusal(Problem("stripe-picture-check-line", values))
    cards = _cards(photo)
    read, unread = list[ReadCard](), list[Problem]()
    for card in cards:
        try:
            read.append(_read_card(photo, card, scale=line_mm / CHECK_LINE_MM))
        except Refusal as refusal:
            unread += refusal.problems
    if not read:
        raise Refusal(unread)
    return PictureReading(cards=tuple(read), unread=tuple(unread))


def _cards(photo: Photo) -> list[CardInPhoto]:
    """The cards, looked for coarsely first. One level more after the first is found, for cards further off."""
    best, discs = list[CardInPhoto](), list[FoundDisc]()
    for discs in find_discs(photo.grey()):
        had, best = bool(best), find_cards(discs, photo) or best
        if had:
            break
    if not best:
        if len(discs) < 2:
            raise Refusal(Problem("stripe-picture-no-card", {"file": photo.name}))
        raise Refusal(Problem("stripe-picture-card-not-whole", {"found": len(discs), "least": LEAST_DISCS}))
    return best


def _read_card(photo: Photo, card: CardInPhoto, *, scale: float) -> ReadCard:
    """Lengths are true ones from here on: ``scale`` is what a millimetre of the card measures as printed."""
    blur = blur_mm(photo, card)
    problems = tuple(_not_fit(card, blur=blur))
    if problems:
        raise Refusal(problems)
    true = Homography(card.to_px.matrix @ np.diag((1 / scale, 1 / scale, 1.0)))
    band = find_band(photo, true)
    ground = straighten(photo, true, band)
    stations = tuple(stations_of(ground, band, blur_mm=blur))
    asked = max(1, int((ground.x_mm[-1] - ground.x_mm[0]) // 10))
    if len(stations) < max(LEAST_STATIONS, LEAST_READ * asked):
        raise Refusal(Problem("stripe-picture-hidden", {"read": len(stations), "asked": asked}))
    quality = Quality(px_per_mm=card.px_per_mm, blur_mm=blur, card_off_mm=card.residual_mm, colour=COLOURS[band.colour])
    shape = shape_of(stations, ground, band)
    if shape.bare_share > FAINT_BARE:
        raise Refusal(Problem("stripe-picture-blotchy", {"bare_percent": 100 * shape.bare_share}))
    stripe = StripeAtCard(place=card.place, stations=stations, shape=shape, quality=quality)
    return ReadCard(stripe=stripe, to_px=true)


def _not_fit(card: CardInPhoto, *, blur: float) -> Iterator[Problem]:
    """Why nothing can be measured with this card, whatever lies beside it."""
    if card.px_per_mm < LEAST_PX_PER_MM:
        yield Problem("stripe-picture-too-small", {"found": card.px_per_mm, "least": LEAST_PX_PER_MM})
    elif not blur <= MOST_BLUR_MM:
        yield Problem("stripe-picture-blurred", {"blur_mm": blur, "most_mm": MOST_BLUR_MM})
    if card.foreshortening < STEEPEST:
        yield Problem("stripe-picture-too-steep", {"percent": 100 * card.foreshortening})
    if card.residual_mm > MOST_OFF_MM:
        yield Problem("stripe-picture-card-not-flat", {"off_mm": card.residual_mm, "most_mm": MOST_OFF_MM})
