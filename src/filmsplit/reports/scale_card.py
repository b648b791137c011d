"""The scale card on paper: one for each place along the roller, true to size, to print, check, cut out and lay down."""

from __future__ import annotations

from filmsplit.messages import label
from filmsplit.reports.typeset import Paper, typeset
from filmsplit.stripe_picture.card import (
    BOX_MM,
    BOXES_MM,
    CARD_HEIGHT_MM,
    CARD_WIDTH_MM,
    CHECK_LINE_FROM,
    CHECK_LINE_MM,
    DISC_RADIUS_MM,
    DISCS,
    HOLE_RADIUS_MM,
    Place,
)

WORDS = ("heading", "lay", "check", "left", "right")
STEPS = ("print", "measure", "place", "take")


def scale_card_pdf(*, paper: Paper) -> bytes:
    """Three cards as a PDF of one page: operator's side, middle, gear side."""
    data = {
        "words": {word: label(f"scale_card.{word}") for word in WORDS},
        "steps": [label(f"scale_card_step.{step}") for step in STEPS],
        "card": {"width": CARD_WIDTH_MM, "height": CARD_HEIGHT_MM},
        "discs": [{"x": disc.x_mm, "y": disc.y_mm, "holes": disc.holes_mm} for disc in DISCS],
        "radius": DISC_RADIUS_MM,
        "hole": HOLE_RADIUS_MM,
        "box": BOX_MM,
        "line": {"x": CHECK_LINE_FROM[0], "y": CHECK_LINE_FROM[1], "length": CHECK_LINE_MM},
        "cards": [_card(place) for place in Place],
    }
    return typeset("scale_card.typ", data, paper=paper)


def _card(place: Place) -> dict[str, object]:
    boxes = [{"x": x, "y": y, "filled": each is place} for each, (x, y) in BOXES_MM.items()]
    return {"name": label(f"card_place.{place.value}"), "boxes": boxes}
