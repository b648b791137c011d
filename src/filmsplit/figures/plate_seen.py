"""What a picture of a plate shows, its place on paper, and its coverage as steps of grey."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from filmsplit.artwork import CoverageMap, Placement, Plate, ZoneTotals, zone_totals
from filmsplit.artwork.copies import Copy, copies
from filmsplit.artwork.rebin import areas
from filmsplit.figures.boxes import Box, Spot
from filmsplit.figures.drawing import PAPER
from filmsplit.messages import Problem

LIGHTEST, DARKEST = 0xEC, 0x14
STEPS = 60
"""Greys beside white. So many that a tint on the border of two does not look like a pattern."""
MOST_DOTS = 600
_LEAST = 5e-4
"""Share below which a cell counts as empty: half a dot in a thousand, less than a hair line through it."""


class LaySide(Enum):
    """At which side the sheet is laid against its guide."""

    OPERATOR = "operator"
    GEAR = "gear"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateSeen:
    """A placed map with all that tells where it lies. ``zone_edges_mm`` are from the plate's operator side;
    ``picture_mm`` is down and across as the file has it, ``None`` where figures came by zone; ``told`` are doubts and
    notices; ``lay`` is the side of the guide, where somebody said it.
    """

    placed: CoverageMap
    plate: Plate
    placement: Placement
    zone_edges_mm: NDArray[np.float64]
    picture_mm: tuple[float, float] | None = None
    told: tuple[Problem, ...] = ()
    lay: LaySide | None = None

    @property
    def round_mm(self) -> float:
        """Once round the plate, the gap in it."""
        return float(self.plate.round_edges_mm[-1] - self.plate.round_edges_mm[0])

    @property
    def totals(self) -> ZoneTotals:
        return zone_totals(self.placed, self.zone_edges_mm)

    @property
    def zone_shares(self) -> NDArray[np.float64]:
        """Image share of the part of each zone under the sheet, 0 where there is none; of the plate without a sheet."""
        sheet, edges = self.placement.sheet, self.zone_edges_mm
        if sheet is not None:
            edges = np.clip(edges, sheet.side_mm, sheet.side_mm + sheet.width_mm)
        areas_mm2 = np.diff(edges) * (self.plate.usable_mm if sheet is None else sheet.length_mm)
        inked = self.totals.inked_mm2
        return np.divide(inked, areas_mm2, out=np.zeros(inked.size), where=areas_mm2 > _LEAST)

    @property
    def across_mm(self) -> float:
        """From one side to the other, zones that stick out beside the plate in it."""
        return self.right_mm - self.left_mm

    @property
    def left_mm(self) -> float:
        return min(float(self.plate.across_edges_mm[0]), float(self.zone_edges_mm[0]))

    @property
    def right_mm(self) -> float:
        return max(float(self.plate.across_edges_mm[-1]), float(self.zone_edges_mm[-1]))

    @property
    def copies(self) -> tuple[Copy, ...]:
        return () if self.picture_mm is None else copies(self.placement, self.picture_mm)


@dataclass(frozen=True, slots=True)
class Lie:
    """Millimetres of the plate on paper: the lead edge up, the operator's side at the left, one scale both ways."""

    box: Box
    left_mm: float
    scale: float

    @property
    def round_mm(self) -> float:
        """How much of once round the plate is drawn, from the lead edge."""
        return (self.box.bottom - self.box.top) / self.scale

    def at(self, lead_mm: float, side_mm: float) -> Spot:
        return self.box.left + (side_mm - self.left_mm) * self.scale, self.box.top + lead_mm * self.scale

    def area(self, lead_mm: float, side_mm: float, *, round_mm: float, across_mm: float) -> Box:
        """The box of a part of the plate."""
        left, top = self.at(lead_mm, side_mm)
        return Box(left, top, left + across_mm * self.scale, top + round_mm * self.scale)


def greys() -> list[str]:
    """White, then one grey for each step, each darker than the one before."""
    mixed = [round(LIGHTEST + (DARKEST - LIGHTEST) * step / (STEPS - 1)) for step in range(STEPS)]
    return [PAPER, *(f"#{grey:02x}{grey:02x}{grey:02x}" for grey in mixed)]


def step_of(shares: ArrayLike) -> NDArray[np.uint8]:
    """The number of the grey of an image share, by its root: most plates have little image, and it shall be seen."""
    known = np.asarray(shares, dtype=np.float64)
    steps = np.clip(np.ceil(STEPS * np.sqrt(known)), 1, STEPS)
    return np.where(known < _LEAST, 0, steps).astype(np.uint8)


def steps_of(seen: PlateSeen) -> NDArray[np.uint8]:
    """The number of its grey for each cell, lead edge first; cells of the map are joined where there are too many."""
    placed = seen.placed
    edges = [_coarser(each) for each in (placed.round_edges_mm, placed.across_edges_mm)]
    inked = areas(placed.coverage, (placed.round_edges_mm, placed.across_edges_mm), (edges[0], edges[1]))
    return step_of(inked / np.outer(np.diff(edges[0]), np.diff(edges[1])))


def _coarser(edges_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Even cells, about as many as there are or as can be drawn: a picture has dots of one size."""
    cells = min(edges_mm.size - 1, MOST_DOTS)
    return np.linspace(edges_mm[0], edges_mm[-1], cells + 1)
