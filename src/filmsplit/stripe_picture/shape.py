"""Taper, bulge, bow and islands from the stations of one card."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from filmsplit.stripe_picture.band import Band
from filmsplit.stripe_picture.edges import ACROSS_STEP_MM, STEP_MM, Straightened, ink_level
from filmsplit.stripe_picture.photo import Array
from filmsplit.stripe_picture.result import Shape, Station

TAPER_OVER_MM = 100.0
LEAST_ISLAND_MM2 = 0.5
"""Smaller bare spots are grain of paper and ink."""


def shape_of(stations: Sequence[Station], ground: Straightened, band: Band) -> Shape:
    """How the stripe runs along the card; three stations or more."""
    x = np.array([each.along_mm for each in stations])
    width = np.array([each.width_mm for each in stations])
    middle = np.array([(each.near_mm + each.far_mm) / 2 for each in stations])
    error = float(np.sqrt(np.mean([each.uncertainty_mm**2 for each in stations])))
    slope, rest = _slope(x, width)
    spread = float(np.sqrt(((x - x.mean()) ** 2).sum()))
    scatter = max(float(np.std(rest)) * np.sqrt(len(x) / max(1, len(x) - 2)), error / 2)
    return Shape(
        width_mm=float(width.mean()),
        width_uncertainty_mm=error,
        taper_mm=slope * TAPER_OVER_MM,
        taper_uncertainty_mm=2 * scatter / spread * TAPER_OVER_MM,
        bulge_mm=_sag(x, width),
        bow_mm=_sag(x, middle),
        bare_share=float(np.mean([each.bare_share for each in stations])),
        islands=_islands(ground, band),
    )


def _slope(x: Array, y: Array) -> tuple[float, Array]:
    slope, offset = np.polyfit(x, y, 1)
    return float(slope), y - slope * x - offset


def _sag(x: Array, y: Array) -> float:
    """How far the middle of a parabola through the points stands above the line through its ends."""
    bend = np.polyfit(x - x.mean(), y, 2)[0]
    return float(-bend * ((x.max() - x.min()) / 2) ** 2)


def _islands(ground: Straightened, band: Band) -> int:
    """Bare spots within the stripe that are large enough to be seen."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    half = band.width_mm / 2
    inside = np.abs(ground.v_mm) < max(half - 0.5, 0.6 * half)
    bare = ground.shade[:, inside] > (1 + ink_level(ground.shade, ground.v_mm, half=half)) / 2
    patches, count = ndimage.label(bare)
    areas = np.bincount(patches.ravel(), minlength=count + 1)[1:] * STEP_MM * ACROSS_STEP_MM
    return int((areas >= LEAST_ISLAND_MM2).sum())
