"""The two edges of a band, row by row: where half of the way from paper to ink is reached."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.numerics.homography import Homography
from filmsplit.stripe_picture.band import Band, colour_of
from filmsplit.stripe_picture.card import CARD_WIDTH_MM
from filmsplit.stripe_picture.photo import Array, Photo

STEP_MM = 0.2
"""Along the stripe, from row to row."""
ACROSS_STEP_MM = 0.05
"""Across the stripe."""
PAPER_FROM_MM, PAPER_TO_MM = 0.9, 2.6
"""Off the edge: the paper that the stripe is compared with."""
LEAST_CONTRAST = 0.45
"""Share of the paper's light that the ink must take, or glare or thin ink hides the stripe."""


@dataclass(frozen=True, slots=True, eq=False)
class Straightened:
    """The ground along a band, with the paper's light as 1: ``shade`` [rows along, places across]; NaN: not seen.

    ``x_mm`` is the place on the card along its edge; ``v_mm`` the distance from the band's middle line.
    ``tilt`` is the cosine by which a width measured square to the card shrinks to one square to the stripe.
    """

    shade: Array
    x_mm: Array
    v_mm: Array
    middle_mm: Array
    tilt: float


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """Where the edges lie in each row, mm off the middle line; NaN where they cannot be told."""

    near_mm: Array
    far_mm: Array
    ink: float


def straighten(photo: Photo, to_px: Homography, band: Band) -> Straightened:
    """Look at the band along its own line, and divide by the paper beside it."""
    half = band.width_mm / 2
    v = np.arange(-half - PAPER_TO_MM - 0.6, half + PAPER_TO_MM + 0.6, ACROSS_STEP_MM)
    first, last = max(0.0, band.x_mm.min() - 1.25), min(CARD_WIDTH_MM, band.x_mm.max() + 1.25)
    x = np.arange(first, last, STEP_MM)
    slope = np.polyval(np.polyder(band.line), x)
    length = np.sqrt(1.0 + slope**2)
    middle = np.polyval(band.line, x).astype(np.float64)
    places = np.stack([x[:, None] - np.outer(slope / length, v), middle[:, None] + np.outer(1 / length, v)], axis=-1)
    light = colour_of(photo.light_at(to_px(places)), band.colour).astype(np.float64)
    return Straightened(_against_paper(light, v, half=half), x, v, middle, float(np.median(1 / length)))


def _against_paper(light: Array, v: Array, *, half: float) -> Array:
    """Light over that of the paper, which is taken on both sides and changes evenly between them."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    levels, places = [], []
    for side in (-1, 1):
        zone = (side * v > half + PAPER_FROM_MM) & (side * v < half + PAPER_TO_MM)
        levels.append(ndimage.median_filter(np.median(light[:, zone], axis=1), 15, mode="nearest"))
        places.append(float(v[zone].mean()))
    part = np.clip((v - places[0]) / (places[1] - places[0]), 0.0, 1.0)
    paper = levels[0][:, None] * (1 - part) + levels[1][:, None] * part
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(paper > 0, light / paper, np.nan)


def ink_level(shade: Array, v: Array, *, half: float) -> float:
    """Light of the inked ground of some rows: half of what is darker than midway."""
    core = shade[:, np.abs(v) < max(0.35 * half, 0.15)]
    known = core[np.isfinite(core)]
    dark = known[known < (1 + np.percentile(known, 10)) / 2] if known.size else known
    return float(np.median(dark)) if dark.size else float("nan")


def row_edges(ground: Straightened, band: Band, *, rows: slice) -> Edges:
    """The edges of some rows that share one level of ink."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    half = band.width_mm / 2
    shade = ground.shade[rows]
    ink = ink_level(shade, ground.v_mm, half=half)
    smooth = ndimage.uniform_filter(shade, (3, 5), mode="nearest")
    unknown = np.full(len(shade), np.nan)
    if not 1 - ink >= LEAST_CONTRAST:
        return Edges(unknown, unknown, ink)
    inside = smooth < (1 + ink) / 2
    near = np.array([_first(row, ground.v_mm) for row in inside])
    far = np.array([-_first(row[::-1], -ground.v_mm[::-1]) for row in inside])
    return Edges(near, far, ink)


def _first(inside: NDArray[np.bool_], v: Array) -> float:
    """Where the first dark stretch of 0.4 mm or more begins."""
    enough = round(0.4 / ACROSS_STEP_MM)
    lasting = np.convolve(inside, np.ones(enough, dtype=int))[enough - 1 : len(inside)] >= enough - 1
    return float(v[int(np.argmax(lasting))]) if lasting.any() else float("nan")


def half_way(profile: Array, v: Array, *, level: float) -> float:
    """Where a profile that begins bright first falls below a level; NaN where it never does."""
    below = np.flatnonzero(profile < level)
    if below.size == 0 or below[0] == 0:
        return float("nan")
    at = int(below[0])
    before, after = profile[at - 1], profile[at]
    return float(v[at - 1] + (before - level) / max(before - after, 1e-9) * (v[at] - v[at - 1]))
