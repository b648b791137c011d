"""A few of the pictures of the campaign `stripe_pictures`, small ones, and the refusals.

The truth is what was drawn (drawn_pictures.py, apart from the reader). Promise: each width within 0.15 mm of the 50 %
edge in 95 % of pictures (this project's own); the pictures here are fixed, so here it is all of them.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.messages import Refusal
from filmsplit.stripe_picture.card import Place
from filmsplit.stripe_picture.read import read_stripes
from stripe_picture.drawn_cases import SPOILED, readable, unreadable
from stripe_picture.drawn_pictures import Scene, Shot, draw
from stripe_picture.scoring import photo_of, score

SMALL = Shot(px_per_mm=7.0, frame=(-8, -8, 158, 78))


@pytest.mark.parametrize("number", range(12))
def test_widths_are_what_was_drawn(number: int) -> None:
    scene, shot = readable(number)
    scored = score(replace(scene, dropout=scene.dropout / 2), replace(shot, px_per_mm=7.0))
    assert scored.kept, scored
    assert scored.right_place
    assert np.mean(np.abs(scored.errors_mm) <= np.array(scored.stated_mm)) >= 0.9


REFUSED_AS = {
    "no card": {"stripe-picture-no-card"},
    "card cut by the frame": {"stripe-picture-card-not-whole", "stripe-picture-no-card"},
    "blurred": {"stripe-picture-blurred", "stripe-picture-no-card", "stripe-picture-card-not-whole"},
    "too small": {"stripe-picture-too-small", "stripe-picture-no-card", "stripe-picture-card-not-whole"},
    "from the side": {"stripe-picture-too-steep", "stripe-picture-card-not-whole", "stripe-picture-no-card"},
    "no stripe": {"stripe-picture-no-stripe"},
    "stripe cut by the frame": {"stripe-picture-cut-off"},
    "stripe under the card": {"stripe-picture-cut-off"},
    "too short": {"stripe-picture-too-short"},
    "two stripes": {"stripe-picture-two-stripes"},
    "too faint": {"stripe-picture-no-stripe", "stripe-picture-hidden"},
    "glare over the stripe": {"stripe-picture-hidden", "stripe-picture-too-short"},
    "blotchy": {"stripe-picture-blotchy", "stripe-picture-hidden", "stripe-picture-too-short"},
}


@pytest.mark.parametrize("kind", SPOILED)
def test_what_cannot_be_read_is_refused_with_its_reason(kind: str) -> None:
    scene, shot = next((scene, shot) for name, scene, shot in unreadable() if name == kind)
    slugs = set(score(scene, replace(shot, px_per_mm=min(shot.px_per_mm, 7.0))).refused)
    assert slugs
    assert slugs <= REFUSED_AS[kind]


def test_taper_bulge_and_bow_are_told() -> None:
    scene = Scene(3, width=4.0, taper=1.0, bulge=-0.6, bow=0.4, card=0)
    (card,) = read_stripes(photo_of(draw(scene, SMALL))).cards
    shape = card.stripe.shape
    assert card.stripe.place is Place.OPERATOR
    assert shape.taper_mm == pytest.approx(1.0, abs=shape.taper_uncertainty_mm)
    # Bulge and bow are drawn over the 150 mm of the card, and seen over the 130 mm between the outer stations.
    seen = (130 / 150) ** 2
    assert shape.bulge_mm == pytest.approx(-0.6 * seen, abs=0.1)
    assert shape.bow_mm == pytest.approx(0.4 * seen, abs=0.1)


def test_a_card_printed_small_is_put_right_by_its_line() -> None:
    """Printed at 97 %, everything looks 1/0.97 as wide; the line measured as 97 mm puts it right."""
    drawn = draw(Scene(4, width=6.0), SMALL)
    plain, told = (
        read_stripes(photo_of(drawn), check_line_mm=line).cards[0].stripe.shape.width_mm for line in (None, 97.0)
    )
    assert told == pytest.approx(0.97 * plain, rel=0.003)
    with pytest.raises(Refusal) as refusal:
        read_stripes(photo_of(drawn), check_line_mm=3.94)
    assert refusal.value.problems[0].slug == "stripe-picture-check-line"
