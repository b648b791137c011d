"""The coverage map of one ink: how much of each cell carries image, true to area, and where it came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from filmsplit.messages import label

Numbers = NDArray[np.float64]

ROUNDING = 1e-9
"""How far above 1 or below 0 a coverage may be by the rounding of sums alone."""


class Frame(Enum):
    """What the edges of a map are counted from."""

    PICTURE = "picture"
    """Rows from the top of the picture, columns from its left side, both from 0."""
    PLATE = "plate"
    """Rows from the lead edge of the plate, columns from its operator's side."""


class StepKind(Enum):
    """What can have been done to a map since it was read."""

    READ = "read"
    RESOLUTION = "resolution"
    ORIENTED = "oriented"
    CURVE = "curve"
    NEGATIVE = "negative"
    MIRRORED = "mirrored"
    TURNED = "turned"
    PLACED = "placed"
    REPEATED = "repeated"
    BACKED = "backed"
    TYPED = "typed"
    TICKET = "ticket"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing done to a map, with the values that tell how."""

    kind: StepKind
    values: Mapping[str, object] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The step in words."""
        return label(f"artwork_step.{self.kind.value}", **self.values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a map comes from. ``dots`` are rows and columns of the picture; ``None`` where there is no picture."""

    file: str
    kind: str
    page: int = 1
    dots: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoverageMap:
    """Image share (0 to 1) of ``rows x columns`` cells; the edges of the cells in mm, rising, one more than cells.

    The cells need not be of one size: an edge stands where a zone begins, so that sums over zones are exact.
    Raises ``ValueError`` where the numbers cannot be a map; files are checked before they get here.
    """

    ink: str
    coverage: Numbers
    round_edges_mm: Numbers
    across_edges_mm: Numbers
    frame: Frame
    source: Source
    steps: tuple[Step, ...] = ()

    def __post_init__(self) -> None:
        shares = np.array(self.coverage, dtype=np.float64)
        edges = [np.array(each, dtype=np.float64) for each in (self.round_edges_mm, self.across_edges_mm)]
        if shares.shape != tuple(each.size - 1 for each in edges) or shares.size == 0:
            raise ValueError(f"{shares.shape} cells do not fit {edges[0].size} x {edges[1].size} edges")
        if not all(np.isfinite(each).all() and (np.diff(each) > 0).all() for each in edges):
            raise ValueError("edges must be finite and rise")
        if not (shares.min() >= -ROUNDING and shares.max() <= 1 + ROUNDING):
            raise ValueError("coverage must lie between 0 and 1")
        _keep(self, coverage=shares.clip(0.0, 1.0), round_edges_mm=edges[0], across_edges_mm=edges[1])

    @property
    def round_mm(self) -> float:
        """Length of the map, round the cylinder once it is placed."""
        return float(self.round_edges_mm[-1] - self.round_edges_mm[0])

    @property
    def across_mm(self) -> float:
        return float(self.across_edges_mm[-1] - self.across_edges_mm[0])

    @property
    def inked_mm2(self) -> float:
        """Area of image: coverage times cell, summed."""
        return float(np.diff(self.round_edges_mm) @ self.coverage @ np.diff(self.across_edges_mm))

    @property
    def mean(self) -> float:
        """Image share of the whole map."""
        return self.inked_mm2 / (self.round_mm * self.across_mm)

    def inked_extent_mm(self) -> tuple[float, float, float, float] | None:
        """First and last edge round, first and last edge across, of the cells with image; ``None`` when empty."""
        rows, columns = np.flatnonzero(self.coverage.any(axis=1)), np.flatnonzero(self.coverage.any(axis=0))
        if rows.size == 0:
            return None
        round_, across = self.round_edges_mm, self.across_edges_mm
        return (
            float(round_[rows[0]]),
            float(round_[rows[-1] + 1]),
            float(across[columns[0]]),
            float(across[columns[-1] + 1]),
        )

    def changed(self, step: Step | None, **values: Any) -> CoverageMap:
        """Another map with these fields in place of ours and ``step`` added to what was done."""
        return replace(self, **values, steps=(*self.steps, step) if step else self.steps)


def _keep(map_: CoverageMap, **arrays: Numbers) -> None:
    """Put arrays nobody can write to into a frozen map while it is made."""
    for name, array in arrays.items():
        array.flags.writeable = False
        object.__setattr__(map_, name, array)


def edges_of(widths_mm: ArrayLike, first_mm: float = 0.0) -> Numbers:
    """The edges of cells that follow each other from ``first_mm`` on."""
    return np.concatenate(([first_mm], first_mm + np.cumsum(np.asarray(widths_mm, dtype=np.float64))))
