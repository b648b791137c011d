"""The plate as cells: what a placed map is laid out on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plate:
    """Edges of the cells: round the whole plate cylinder from the lead edge on, the gap last; across from the
    operator's side. In the gap, ``gap_mm`` long, nothing can print.
    """

    round_edges_mm: NDArray[np.float64]
    across_edges_mm: NDArray[np.float64]
    gap_mm: float

    @classmethod
    def even(cls, round_mm: float, across_mm: float, *, gap_mm: float, cell_mm: float = 1.0) -> Plate:
        """A plate cut into cells of one size, as near to ``cell_mm`` as goes."""
        edges = (np.linspace(0.0, length, max(1, round(length / cell_mm)) + 1) for length in (round_mm, across_mm))
        return cls(round_edges_mm=next(edges), across_edges_mm=next(edges), gap_mm=gap_mm)

    @classmethod
    def cut(cls, round_mm: ArrayLike, across_mm: ArrayLike, *, gap_mm: float, cell_mm: float = 1.0) -> Plate:
        """A plate whose cells begin and end at the given places (ends included), about ``cell_mm`` large in between.

        What is summed between two of these places is then exact.
        """
        round_edges, across_edges = (_cut(places, cell_mm) for places in (round_mm, across_mm))
        return cls(round_edges_mm=round_edges, across_edges_mm=across_edges, gap_mm=gap_mm)

    @property
    def usable_mm(self) -> float:
        """Length of the plate that can carry image."""
        return float(self.round_edges_mm[-1] - self.round_edges_mm[0]) - self.gap_mm

    @property
    def across_mm(self) -> float:
        return float(self.across_edges_mm[-1] - self.across_edges_mm[0])


SAME_MM = 1e-6
"""Places nearer to each other than this are one."""


def _cut(places_mm: ArrayLike, cell_mm: float) -> NDArray[np.float64]:
    """Edges through all places, with even cells between each two."""
    sorted_mm = np.sort(np.asarray(places_mm, dtype=np.float64).ravel())
    places = [float(sorted_mm[0]), *(float(b) for a, b in pairwise(sorted_mm) if b - a > SAME_MM)]
    parts = [np.linspace(a, b, max(1, round((b - a) / cell_mm)) + 1)[:-1] for a, b in pairwise(places)]
    return np.concatenate([*parts, places[-1:]])
