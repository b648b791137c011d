"""Cells round and columns across, and profiles put on them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.network import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """``rows`` cells of equal length round the plate, ``columns`` of equal width over ``width_mm`` across.

    ``reason`` says why this size was taken.
    """

    plate_mm: float
    width_mm: float
    rows: int
    columns: int
    reason: str = "as asked"

    @property
    def round_mm(self) -> float:
        return self.plate_mm / self.rows

    @property
    def across_mm(self) -> float:
        return self.width_mm / self.columns

    @property
    def cell_mm2(self) -> float:
        return self.round_mm * self.across_mm

    @property
    def centres_mm(self) -> Array:
        """Middle of each column, from the operator's side."""
        return np.asarray((np.arange(self.columns) + 0.5) * self.across_mm, dtype=np.float64)

    def cells(self, length_mm: float) -> int:
        """Whole cells nearest to a length round a loop."""
        return round(length_mm / self.round_mm)

    def columns_within(self, span_mm: tuple[float, float] | None) -> tuple[int, int]:
        """First column and the one after the last whose middle lies in ``span_mm``."""
        if span_mm is None:
            return 0, self.columns
        first = math.ceil(span_mm[0] / self.across_mm - 0.5)
        end = math.ceil(span_mm[1] / self.across_mm - 0.5)
        return max(0, first), min(self.columns, max(end, first, 0))

    def profile(self, profile: Profile) -> Array:
        """A profile at the middle of each column."""
        if isinstance(profile, int | float):
            return np.full(self.columns, float(profile))
        places, values = zip(*profile, strict=True)
        return np.asarray(np.interp(self.centres_mm, places, values), dtype=np.float64)


def grid_of(plate_mm: float, width_mm: float, *, round_mm: float, across_mm: float, reason: str = "as asked") -> Grid:
    """The grid whose cells come nearest to the sizes asked for, with whole cells round the plate and across."""
    rows, columns = max(1, round(plate_mm / round_mm)), max(1, round(width_mm / across_mm))
    return Grid(plate_mm=plate_mm, width_mm=width_mm, rows=rows, columns=columns, reason=reason)
