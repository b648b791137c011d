"""Colour differences as published, and what must hold for any mixture of two inks."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from coloraide.cmfs import CIE_1931_2DEG

from filmsplit.ink.colour import Lab, colour_difference, lab_distance, mixed_colour, share_within
from filmsplit.ink.splitting import Array

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


WAVELENGTHS_NM = np.arange(380, 731, 5)
INKS = {
    "cyan": ((640, 75, 1.6), (500, 1e9, 0.08)),
    "magenta": ((545, 45, 1.6), (440, 60, 0.5), (500, 1e9, 0.05)),
    "yellow": ((435, 55, 1.5), (500, 1e9, 0.02)),
    "black": ((500, 1e9, 1.7),),
    "orange": ((470, 80, 1.5), (500, 1e9, 0.02)),
    "green": ((650, 60, 1.5), (420, 50, 1.4), (500, 1e9, 0.1)),
}
"""Invented inks: bands of density over paper by wavelength (middle, half width, height), of the usual colours."""


def test_three_bands_against_whole_spectra() -> None:
    """The share that keeps within CIEDE2000 of 1, from Lab of the solids alone, against Lambert-Beer at 71 wavelengths.

    Observer: CIE 1931, tables of the colour library; equal-energy light. The bands stated in the limits: 0.8 to 2.2
    times, a quarter of geometric spread. Three numbers cannot know a spectrum, so it is no closer than that.
    """
    ratios = []
    for new, old in permutations(INKS, 2):
        solids = [_seen(_spectrum(INKS[name])) for name in (new, old)]
        found = share_within(*solids, paper=_seen(np.zeros(WAVELENGTHS_NM.size)), difference=1.0)
        ratios.append(found / _true_share(new, old))
    assert min(ratios) > 0.75
    assert max(ratios) < 2.3
    assert 1.0 < np.exp(np.mean(np.log(ratios))) < 1.3
    assert np.exp(np.std(np.log(ratios))) < 1.35


def _spectrum(bands: tuple[tuple[float, float, float], ...]) -> Array:
    return np.asarray(sum(high * np.exp(-(((WAVELENGTHS_NM - mid) / wide) ** 2)) for mid, wide, high in bands))


def _seen(density: Array) -> Lab:
    """CIELAB by its definition (CIE 15), white: equal energy."""
    observer = np.array([CIE_1931_2DEG[int(each)] for each in WAVELENGTHS_NM])
    light = (0.85 * 10.0**-density) @ observer / observer.sum(axis=0)
    x, y, z = np.where(light > 216 / 24389, np.cbrt(light), (24389 / 27 * light + 16) / 116)
    return float(116 * y - 16), float(500 * (x - y)), float(200 * (y - z))


def _true_share(new: str, old: str) -> float:
    fresh, dirty = _spectrum(INKS[new]), _spectrum(INKS[old])
    low, high = 0.0, 1.0
    for _ in range(30):
        share = (low + high) / 2
        beyond = colour_difference(_seen(fresh), _seen((1 - share) * fresh + share * dirty)) > 1.0
        low, high = (low, share) if beyond else (share, high)
    return low


def test_the_share_allowed_is_where_the_difference_is_reached() -> None:
    share = share_within(YELLOW, BLACK, paper=PAPER, difference=2.0)
    assert colour_difference(YELLOW, mixed_colour(YELLOW, BLACK, paper=PAPER, share=share)) == pytest.approx(
        2.0, abs=1e-3
    )
    assert share_within(CYAN, CYAN, paper=PAPER, difference=0.5) == 1.0
