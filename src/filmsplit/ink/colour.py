"""How far apart two colours are, and what colour two inks make that are mixed in one film."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from filmsplit.ink.splitting import Array

if TYPE_CHECKING:
    from coloraide import Color

Lab = tuple[float, float, float]
"""CIELAB, D50 and 2 degrees, as instruments of the trade give it."""

BANDS = "prophoto-rgb-linear"
"""Three bands of light wide enough that no printing ink lies outside them."""

DARKEST = 1e-4
"""No band of a solid is taken to be darker than this part of white: below it is the instrument's own noise."""

SHARE_NET = 21
SHARE_ROUNDS = 5
"""A share is looked for on a net that is narrowed so often: 20^-5, to 3e-7."""


def colour_difference(a: Lab, b: Lab) -> float:
    """CIEDE2000, all weights 1; Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30."""
    return float(_as_given(a).delta_e(_as_given(b), method="2000"))


def lab_distance(a: Lab, b: Lab) -> float:
    """The plain distance in CIELAB, delta E*ab of 1976."""
    return float(_as_given(a).delta_e(_as_given(b), method="76", space="lab-d65"))


def mixed_colour(new: Lab, old: Lab, *, paper: Lab, share: float) -> Lab:
    """Colour of a solid whose film is ``old`` ink for this share of it and ``new`` ink for the rest.

    Both inks are taken as transparent on paper: in each of three bands of light densities over paper add by film
    (Lambert-Beer). ``new`` and ``old`` are the colours of their solids at the same film. Three bands stand for a
    spectrum; ``ValueError`` for a share outside 0..1.
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError("a share lies between 0 and 1")
    over_paper = [np.log(_bands(each) / _bands(paper)) for each in (new, old)]
    light = _bands(paper) * np.exp((1.0 - share) * over_paper[0] + share * over_paper[1])
    first, second, third = _colour_space()(BANDS, [float(band) for band in light]).convert("lab").coords()
    return first, second, third


def share_within(new: Lab, old: Lab, *, paper: Lab, difference: float) -> float:
    """Largest share of old ink for which it and every smaller share keep within CIEDE2000 ``difference`` of the new.

    1 where even the old ink alone does.
    """
    low, high = 0.0, 1.0
    for _ in range(SHARE_ROUNDS):
        net = np.linspace(low, high, SHARE_NET)
        away = [colour_difference(new, mixed_colour(new, old, paper=paper, share=float(share))) for share in net]
        beyond = np.flatnonzero(np.array(away) > difference)
        if beyond.size == 0:
            return high
        if beyond[0] == 0:
            return low
        low, high = float(net[beyond[0] - 1]), float(net[beyond[0]])
    return low


def tint_difference(solid: Lab, *, paper: Lab, coverage: float, strength: float) -> float:
    """CIEDE2000 between a tint and the same tint with ``1 + strength`` of its film.

    ``solid`` is the colour of the ink's solid at its film. In three bands densities over paper grow with film
    (Lambert-Beer), and light of dots and of paper between them adds by area (Murray-Davies); no dot gain.
    """
    over_paper = np.log(_bands(solid) / _bands(paper))

    def tint(film: float) -> Lab:
        light = _bands(paper) * (coverage * np.exp(film * over_paper) + (1.0 - coverage))
        first, second, third = _colour_space()(BANDS, [float(band) for band in light]).convert("lab").coords()
        return first, second, third

    return colour_difference(tint(1.0), tint(1.0 + strength))


def _bands(lab: Lab) -> Array:
    """Light of the three bands, as parts of white."""
    bands = np.array(_colour_space()("lab", list(lab)).convert(BANDS).coords(), dtype=np.float64)
    return np.asarray(np.maximum(bands, DARKEST))


def _as_given(lab: Lab) -> Color:
    """The numbers as they are: the formula is of Lab values, whatever their white, and the library's own is D65."""
    return _colour_space()("lab-d65", list(lab))


def _colour_space() -> type[Color]:
    """The library's colour: heavy enough not to be imported by who asks for no colour."""
    from coloraide import Color  # noqa: PLC0415  (0.1 s)

    return Color
