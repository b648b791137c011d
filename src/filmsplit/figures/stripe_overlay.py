"""A stripe as it was read, drawn over the picture it was read from: straightened to the card, true to scale."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.figures.drawing import ACCENT, PAPER, Drawing, element, finish, group, line, text
from filmsplit.messages import label, numbers_read
from filmsplit.stripe_picture.card import CARD_HEIGHT_MM, CARD_WIDTH_MM, REACH_MM
from filmsplit.stripe_picture.photo import Photo
from filmsplit.stripe_picture.result import ReadCard, Station

MARGIN_MM, HEAD_MM, GAP_MM = 6.0, 9.0, 5.0
AROUND_MM = 3.0
DOTS_PER_MM = 8
BELOW_MM = 9.0
"""Shown below the lowest edge: room for the figures, and paper to judge the edge by."""
EDGE_MM = 0.18


@dataclass(frozen=True, slots=True, eq=False)
class OverlaidCard:
    """One card, the picture it lies in, and the words over it."""

    photo: Photo
    read: ReadCard
    heading: str


def draw_overlay(cards: Sequence[OverlaidCard]) -> Drawing:
    """A panel for each card, one below the other."""
    parts, top = list[str](), MARGIN_MM
    for card in cards:
        parts.append(group(_panel(card), transform=f"translate({MARGIN_MM + AROUND_MM} {top + HEAD_MM + AROUND_MM})"))
        top += HEAD_MM + _height_mm(card) + GAP_MM
    width = CARD_WIDTH_MM + 2 * (AROUND_MM + MARGIN_MM)
    alt = "; ".join(card.heading for card in cards)
    return finish(parts, size_mm=(width, top + MARGIN_MM - GAP_MM), title=label("stripe_overlay.title"), alt=alt)


def _bottom_mm(card: OverlaidCard) -> float:
    """Lower end of what is shown, in mm below the card's upper edge."""
    lowest = max(station.far_mm for station in card.read.stripe.stations)
    return min(lowest + BELOW_MM, CARD_HEIGHT_MM + REACH_MM)


def _height_mm(card: OverlaidCard) -> float:
    return _bottom_mm(card) + 2 * AROUND_MM


def _panel(card: OverlaidCard) -> list[str]:
    """The straightened picture, both edges, and every width at its place."""
    stations = card.read.stripe.stations
    size = {"width": CARD_WIDTH_MM + 2 * AROUND_MM, "height": _height_mm(card)}
    picture = f"data:image/jpeg;base64,{base64.b64encode(_straightened(card)).decode('ascii')}"
    edges = [[(s.along_mm, s.near_mm) for s in stations], [(s.along_mm, s.far_mm) for s in stations]]
    return [
        text(card.heading, (-AROUND_MM, -AROUND_MM - 3.0), size=4.0, bold=True),
        element("image", x=-AROUND_MM, y=-AROUND_MM, href=picture, preserveAspectRatio="none", **size),
        *(line(edge, stroke=PAPER, stroke_width=3 * EDGE_MM) for edge in edges),
        *(line(edge, stroke=ACCENT, stroke_width=EDGE_MM) for edge in edges),
        *(part for station in stations for part in _figure(station)),
    ]


def _figure(station: Station) -> list[str]:
    """The width below the stripe, on paper of its own so that it can be read over any picture."""
    x, y = station.along_mm, station.far_mm
    ends = [(x, station.near_mm), (x, y + 2.0)]
    return [
        line(ends, stroke=ACCENT, stroke_width=EDGE_MM),
        element("rect", x=x - 4.2, y=y + 2.0, width=8.4, height=4.2, fill=PAPER),
        text(numbers_read(f"{station.width_mm:.2f}"), (x, y + 5.2), size=3.2, anchor="middle"),
    ]


def _straightened(card: OverlaidCard) -> bytes:
    """The picture as it would look from straight above the card, as JPEG."""
    from PIL import Image  # noqa: PLC0415  # heavy

    step = 1 / DOTS_PER_MM
    x = np.arange(-AROUND_MM + step / 2, CARD_WIDTH_MM + AROUND_MM, step)
    y = np.arange(-AROUND_MM + step / 2, _bottom_mm(card) + AROUND_MM, step)
    light = card.photo.light_at(card.read.to_px(np.stack(np.meshgrid(x, y), axis=-1)))
    told = np.nan_to_num(np.clip(light, 0, 1), nan=1.0) ** (1 / 2.2)
    held = io.BytesIO()
    Image.fromarray(np.rint(255 * told).astype(np.uint8)).save(held, "JPEG", quality=88)
    return held.getvalue()
