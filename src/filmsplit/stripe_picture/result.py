"""What a picture of a stripe says."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages import Problem
from filmsplit.numerics.homography import Homography
from filmsplit.stripe_picture.card import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """The stripe at one place along the card. ``uncertainty_mm`` is that of the width, 95 %.

    ``along_mm`` runs from the card's left end; ``near_mm`` and ``far_mm`` are the edges, below the card's upper edge;
    ``ramp_mm`` is how far an edge takes from 16 to 84 % of the ink, the picture's own blur taken off.
    """

    along_mm: float
    width_mm: float
    uncertainty_mm: float
    near_mm: float
    far_mm: float
    ramp_mm: float
    bare_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How the stripe runs along one card.

    ``taper_mm``: how much wider it is at the card's right end than at its left one, over 100 mm. ``bulge_mm``: how much
    wider in the middle of what was seen than at its ends. ``bow_mm``: how far its middle line bends away
    from the card.
    """

    width_mm: float
    width_uncertainty_mm: float
    taper_mm: float
    taper_uncertainty_mm: float
    bulge_mm: float
    bow_mm: float
    bare_share: float
    islands: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Quality:
    """How good the picture is: dots to a millimetre, blur (sigma), how flat the card lay, dots of what colour."""

    px_per_mm: float
    blur_mm: float
    card_off_mm: float
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeAtCard:
    """The stripe beside one card. ``place`` is ``None`` where the card's boxes could not be read."""

    place: Place | None
    stations: tuple[Station, ...]
    shape: Shape
    quality: Quality


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadCard:
    """A reading, and where its card lies in the picture (mm on the card to dots), to draw it over the picture."""

    stripe: StripeAtCard
    to_px: Homography


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureReading:
    """All cards of one picture that could be read, and why others could not."""

    cards: tuple[ReadCard, ...]
    unread: tuple[Problem, ...]
