"""Cut a picture into cells: whole dots, about a millimetre, with an edge wherever one is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.artwork import CoverageMap, Frame, Source, Step
from filmsplit.formats.coverage_options import CoverageOptions

MANY_DOTS = 32


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Edges of the cells in dots, from 0 to the picture's height and width, and the dots to a millimetre each way."""

    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    dots_per_mm: tuple[float, float]

    @property
    def dots(self) -> NDArray[np.int64]:
        """How many dots each cell has."""
        return np.outer(np.diff(self.rows), np.diff(self.columns))

    def map_of(self, shares: NDArray[np.float64], ink: str, *, source: Source, steps: tuple[Step, ...]) -> CoverageMap:
        """The map of these cells, in the picture's frame."""
        return CoverageMap(
            ink=ink,
            coverage=shares,
            round_edges_mm=self.rows / self.dots_per_mm[0],
            across_edges_mm=self.columns / self.dots_per_mm[1],
            frame=Frame.PICTURE,
            source=source,
            steps=steps,
        )


def cells_for(height: int, width: int, *, dots_per_mm: tuple[float, float], options: CoverageOptions) -> Cells:
    """Cells as near to the size asked for as whole dots allow, and an edge at the dot nearest to each cut."""
    cuts = (options.cuts_round_mm, options.cuts_across_mm)
    edges = (
        _edges(dots, per_mm, options.cell_mm, cuts_mm=cut)
        for dots, per_mm, cut in zip((height, width), dots_per_mm, cuts, strict=True)
    )
    return Cells(next(edges), next(edges), dots_per_mm)


def _edges(dots: int, per_mm: float, cell_mm: float, *, cuts_mm: Iterable[float]) -> NDArray[np.int64]:
    """Edges nobody asked for fall between bytes of packed dots where a cell has many: they are counted faster."""
    even = np.linspace(0, dots, min(dots, max(1, round(dots / per_mm / cell_mm))) + 1)
    if cell_mm * per_mm >= MANY_DOTS:
        even[1:-1] = np.rint(even[1:-1] / 8) * 8
    asked = [cut * per_mm for cut in cuts_mm if 0 < cut * per_mm < dots]
    return np.unique(np.rint(np.concatenate((even, asked))).astype(np.int64))
