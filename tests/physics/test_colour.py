"""Colour differences as published, and what must hold for any mixture of two inks."""

from __future__ import annotations

import pytest

from filmsplit.ink.colour import Lab, colour_difference, lab_distance, mixed_colour

CYAN: Lab = (55.0, -37.0, -50.0)
BLACK: Lab = (16.0, 0.0, 0.0)
YELLOW: Lab = (89.0, -5.0, 93.0)
PAPER: Lab = (95.0, 0.0, -2.0)


@pytest.mark.parametrize(
    ("a", "b", "published"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ],
)
def test_ciede2000_as_published(a: Lab, b: Lab, published: float) -> None:
    """Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30, to the four decimals given; the same either way round."""
    assert colour_difference(a, b) == pytest.approx(published, abs=5e-5)
    assert colour_difference(b, a) == pytest.approx(published, abs=5e-5)


def test_distance_in_cielab() -> None:
    """3, 4, 12: 13 (Pythagoras)."""
    assert lab_distance((50.0, 0.0, 0.0), (53.0, 4.0, -12.0)) == pytest.approx(13.0)


@pytest.mark.parametrize("old", [BLACK, YELLOW])
def test_a_mixture_goes_from_one_ink_to_the_other(old: Lab) -> None:
    """The ends are the inks themselves, and each step of the share leads farther away (definition)."""
    away = [colour_difference(CYAN, mixed_colour(CYAN, old, paper=PAPER, share=k / 20)) for k in range(21)]
    assert away[0] == pytest.approx(0.0, abs=1e-4)
    assert mixed_colour(CYAN, old, paper=PAPER, share=1.0) == pytest.approx(old, abs=1e-4)
    assert away == sorted(away)


def test_an_ink_mixed_with_itself_is_itself() -> None:
    assert mixed_colour(CYAN, CYAN, paper=PAPER, share=0.4) == pytest.approx(CYAN, abs=1e-4)


def test_greys_mix_by_density() -> None:
    """Neutral inks of density 0.5 and 1.5 over white paper, a quarter of the second: density 0.75 (Lambert-Beer)."""
    first, second, mixed = (_grey(density) for density in (0.5, 1.5, 0.75))
    white = _grey(0.0)
    assert mixed_colour(first, second, paper=white, share=0.25) == pytest.approx(mixed, abs=0.02)


def _grey(density: float) -> Lab:
    """Lightness of a neutral by the definition of CIELAB (CIE 15)."""
    y = 10.0**-density
    return (116.0 * y ** (1 / 3) - 16.0 if y > 216 / 24389 else y * 24389 / 27), 0.0, 0.0


def test_a_share_is_a_share() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        mixed_colour(CYAN, BLACK, paper=PAPER, share=1.2)
