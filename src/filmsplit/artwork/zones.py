"""Coverage by ink zone: sums of a placed map, and maps made from figures that come by zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from filmsplit.artwork.coverage import CoverageMap, Frame, Numbers, Source
from filmsplit.artwork.rebin import areas


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ZoneTotals:
    """Image area by zone and the length it is spread over. ``outside_mm2`` is image that no zone feeds."""

    ink: str
    edges_mm: Numbers
    round_mm: float
    inked_mm2: Numbers
    outside_mm2: float

    @property
    def coverage(self) -> Numbers:
        """Image share of each zone, 0 to 1, over ``round_mm``."""
        return self.inked_mm2 / (np.diff(self.edges_mm) * self.round_mm)


def zone_totals(artwork: CoverageMap, edges_mm: ArrayLike, *, round_mm: float | None = None) -> ZoneTotals:
    """Sum a map by zone; the zones have ``edges_mm`` in the frame of the map.

    Exact where the zones begin at edges of cells; inside a cell the image counts as spread evenly. ``round_mm`` is the
    length the coverage refers to (the whole map, unless told).
    """
    edges = np.asarray(edges_mm, dtype=np.float64)
    ends = artwork.round_edges_mm[[0, -1]]
    inked = areas(artwork.coverage, (artwork.round_edges_mm, artwork.across_edges_mm), (ends, edges))[0]
    return ZoneTotals(
        ink=artwork.ink,
        edges_mm=edges,
        round_mm=round_mm or artwork.round_mm,
        inked_mm2=inked,
        outside_mm2=max(0.0, artwork.inked_mm2 - float(inked.sum())),
    )


def zone_map(shares: Sequence[float], edges_mm: ArrayLike, *, round_mm: float, ink: str, source: Source) -> CoverageMap:
    """A map of one row from figures by zone: where round the cylinder the image lies is not known, so it is even."""
    return CoverageMap(
        ink=ink,
        coverage=np.array([shares], dtype=np.float64),
        round_edges_mm=np.array([0.0, round_mm]),
        across_edges_mm=np.asarray(edges_mm, dtype=np.float64),
        frame=Frame.PLATE,
        source=source,
    )
