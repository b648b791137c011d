"""Widths at places along the card, each with its uncertainty."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from filmsplit.stripe_picture.band import Band
from filmsplit.stripe_picture.edges import Edges, Straightened, half_way, row_edges
from filmsplit.stripe_picture.photo import Array
from filmsplit.stripe_picture.result import Station

APART_MM, HALF_MM = 10.0, 10.0
LEAST_END_MM = 7.0
"""What a station at the end of what is seen must have beyond it."""
LEAST_ROWS = 0.4
"""Share of a station's rows that must show both edges."""
LEAST_CLEAN = 0.15
"""Share of the rows that must be free of islands at an edge."""
FLANK_ROWS = 3
"""Rows beside an island, where its flank may cut the edge while the ground behind is inked."""
BEHIND_MM, ISLAND_LEVEL = 0.8, 0.3
"""How far behind the edge islands are looked for, and from how much light between ink and paper on."""
OUTER_SHARE = 0.25
"""Islands only ever move an edge inwards: the edge is looked for where the outer quarter of the rows begins."""
AGREE_MM = 0.4
TAIL, LEAST_SPREAD_MM = 1.7, 0.03
"""Spreads (16 % to the median, on the outer side, where no island reaches) beyond which a row is left out."""
"""Rows whose edge lies further off are islands or specks."""
INDEPENDENT_MM = 2.0
"""Rows nearer than this share their islands and their noise."""
SCALE_SHARE = 0.002
"""The card's own scale: 0.2 mm on the line of 100 mm, as well as a steel rule is read (common practice)."""
TONE_SHARE = 0.10
"""A camera's rendering of greys moves the half-way point within the ramp: by about this share of the ramp from 16 to
84 %, both edges the same way (rendering exponents 10 % either side of sRGB, calculation)."""
LEAST_MM = 0.04
"""What is left when all else is good: grid, sampling, flatness of the paper (measured on drawn pictures)."""


@dataclass(frozen=True, slots=True)
class _Edge:
    """One edge of a station, mm off the middle line, its scatter as a standard error, and its whole ramp."""

    v_mm: float
    error_mm: float
    ramp_mm: float


def stations_of(ground: Straightened, band: Band, *, blur_mm: float) -> Iterator[Station]:
    """Every station that can be read, from the left end."""
    first = np.ceil((ground.x_mm[0] + LEAST_END_MM) / APART_MM) * APART_MM
    for along in np.arange(first, ground.x_mm[-1] - LEAST_END_MM, APART_MM):
        low, high = np.searchsorted(ground.x_mm, (along - HALF_MM, along + HALF_MM))
        station = _station(ground, band, rows=slice(int(low), int(high)), blur_mm=blur_mm)
        if station:
            yield station


def _station(ground: Straightened, band: Band, *, rows: slice, blur_mm: float) -> Station | None:
    edges = row_edges(ground, band, rows=rows)
    near = _edge(ground, edges.near_mm, rows=rows, ink=edges.ink, mirrored=False)
    far = _edge(ground, -edges.far_mm, rows=rows, ink=edges.ink, mirrored=True)
    if near is None or far is None:
        return None
    width = -far.v_mm - near.v_mm
    middle = float(np.mean(ground.middle_mm[rows]))
    ramp = max(near.ramp_mm, far.ramp_mm)
    return Station(
        along_mm=float(np.mean(ground.x_mm[rows])),
        width_mm=width,
        uncertainty_mm=_uncertainty(width, near, far),
        near_mm=middle + near.v_mm / ground.tilt,
        far_mm=middle - far.v_mm / ground.tilt,
        ramp_mm=float(np.sqrt(max(0.0, ramp**2 - (2 * blur_mm) ** 2))),
        bare_share=_bare(ground, edges, rows=rows),
    )


def _uncertainty(width: float, near: _Edge, far: _Edge) -> float:
    tone = TONE_SHARE * (near.ramp_mm + far.ramp_mm)
    scatter = 2 * np.hypot(near.error_mm, far.error_mm)
    return float(np.sqrt(scatter**2 + tone**2 + (SCALE_SHARE * width) ** 2 + LEAST_MM**2))


def _edge(ground: Straightened, found: Array, *, rows: slice, ink: float, mirrored: bool) -> _Edge | None:
    """The edge from the mean of the rows that agree about it and carry ink right behind it."""
    shade, v = ground.shade[rows], ground.v_mm
    if mirrored:
        shade, v = shade[:, ::-1], -v[::-1]
    if np.isfinite(found).mean() < LEAST_ROWS:
        return None
    agree = np.abs(found - np.nanquantile(found, OUTER_SHARE)) < AGREE_MM
    rough = _mean_edge(shade[agree], v, ink=ink)
    if rough is None:
        return None
    agree = _inked_behind(shade, v, edge=rough, ink=ink) & (np.abs(found - rough.v_mm) < AGREE_MM)
    agree = _without_tail(found, agree)
    edge = _mean_edge(shade[agree], v, ink=ink) if agree.mean() >= LEAST_CLEAN else None
    if edge is None:
        return None
    free = max(1.0, agree.mean() * 2 * HALF_MM / INDEPENDENT_MM)
    return replace(edge, error_mm=float(np.std(found[agree]) / np.sqrt(free)))


def _without_tail(found: Array, agree: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Without rows further in than noise alone would put them; as far out as in, so that the mean does not lean."""
    for _ in range(2):
        if agree.any():
            outer, middle = np.quantile(found[agree], (0.16, 0.5))
            agree = agree & (np.abs(found - middle) < TAIL * max(middle - outer, LEAST_SPREAD_MM))
    return agree


def _mean_edge(shade: Array, v: Array, *, ink: float) -> _Edge | None:
    """The edge of the mean of some rows."""
    if not len(shade):
        return None
    profile = np.mean(shade, axis=0)
    first, half, last = (half_way(profile, v, level=ink + part * (1 - ink)) for part in (0.84, 0.5, 0.16))
    if not np.isfinite(half):
        return None
    return _Edge(half, 0.0, last - first if np.isfinite(last - first) else 2 * AGREE_MM)


def _inked_behind(shade: Array, v: Array, *, edge: _Edge, ink: float) -> NDArray[np.bool_]:
    """Rows with no island behind the ramp of the edge: an island there has most often eaten into the edge as well.

    What is chosen by lies behind the ramp, so that the choice does not prefer edges further out or in.
    """
    from scipy import ndimage  # noqa: PLC0415  # heavy

    behind = edge.v_mm + 0.8 * edge.ramp_mm
    zone = (v > behind) & (v < max(behind + 0.3, min(behind + BEHIND_MM, 0.5)))
    smooth = ndimage.uniform_filter(shade[:, zone], (3, 5), mode="nearest")
    bare = smooth.max(axis=1) > ink + ISLAND_LEVEL * (1 - ink)
    wide: NDArray[np.bool_] = ndimage.binary_dilation(bare, iterations=FLANK_ROWS)
    return ~wide if (~wide).mean() >= LEAST_CLEAN else ~bare


def _bare(ground: Straightened, edges: Edges, *, rows: slice) -> float:
    """Share of the ground between the edges, half a millimetre in, that took no ink."""
    near, far = np.nanmedian(edges.near_mm), np.nanmedian(edges.far_mm)
    inset = min(0.5, 0.2 * (far - near))
    inside = ground.shade[rows][:, (ground.v_mm > near + inset) & (ground.v_mm < far - inset)]
    return float(np.mean(inside > (1 + edges.ink) / 2)) if inside.size else 0.0
