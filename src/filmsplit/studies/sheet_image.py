"""The image on a sheet, taken off it, turned, and laid on again: nothing is lost, nothing drawn anew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array

LEAST_MM = 1e-6
"""Edges nearer to each other than this are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A box on the sheet: from its lead edge, from its operator's side."""

    lead_mm: float
    tail_mm: float
    operator_mm: float
    gear_mm: float

    @property
    def long_mm(self) -> float:
        return self.tail_mm - self.lead_mm

    @property
    def wide_mm(self) -> float:
        return self.gear_mm - self.operator_mm

    def around(self, other: Frame) -> Frame:
        """The box round both."""
        return Frame(
            lead_mm=min(self.lead_mm, other.lead_mm),
            tail_mm=max(self.tail_mm, other.tail_mm),
            operator_mm=min(self.operator_mm, other.operator_mm),
            gear_mm=max(self.gear_mm, other.gear_mm),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetImage:
    """Coverage over a sheet: rows from its lead edge, columns from its operator's side, with their edges in mm from 0
    to the length and the width of the sheet."""

    coverage: Array
    down_mm: Array
    across_mm: Array

    @property
    def size_mm(self) -> tuple[float, float]:
        """Length in the direction of travel, width."""
        return float(self.down_mm[-1]), float(self.across_mm[-1])

    @property
    def frame(self) -> Frame:
        """The box of its image. ``ValueError`` where there is none."""
        rows, columns = np.flatnonzero(self.coverage.any(axis=1)), np.flatnonzero(self.coverage.any(axis=0))
        if rows.size == 0:
            raise ValueError("there is no image on the sheet")
        return Frame(
            lead_mm=float(self.down_mm[rows[0]]),
            tail_mm=float(self.down_mm[rows[-1] + 1]),
            operator_mm=float(self.across_mm[columns[0]]),
            gear_mm=float(self.across_mm[columns[-1] + 1]),
        )

    def turned(self, frame: Frame) -> SheetImage:
        """Turned half round within ``frame``, the box of the whole work: all inks of it stay in register."""
        shares, down, across = self._cut(frame)
        return placed(
            shares[::-1, ::-1],
            (_backwards(down), _backwards(across)),
            at_mm=(frame.lead_mm, frame.operator_mm),
            size_mm=self.size_mm,
        )

    def lying(self, frame: Frame, *, clockwise: bool) -> SheetImage:
        """Turned a quarter round with its sheet, the new lead margin as the old one was where there is room for it."""
        shares, down, across = self._cut(frame)
        length, width = self.size_mm
        at = (min(frame.lead_mm, width - frame.wide_mm), (length - frame.long_mm) / 2)
        # A quarter clockwise rows become columns, the first row the last column.
        quarter = shares.T[:, ::-1] if clockwise else shares.T[::-1, :]
        edges = (across, _backwards(down)) if clockwise else (_backwards(across), down)
        return placed(quarter, edges, at_mm=at, size_mm=(width, length))

    def shifted(self, frame: Frame, by_mm: float) -> SheetImage:
        """Moved towards the gear side. ``ValueError`` where it would leave the sheet."""
        shares, down, across = self._cut(frame)
        return placed(shares, (down, across), at_mm=(frame.lead_mm, frame.operator_mm + by_mm), size_mm=self.size_mm)

    def with_bar(self, down_mm: tuple[float, float], across_mm: tuple[float, float]) -> SheetImage:
        """With a solid bar where there was no image."""
        down = _with_edges(self.down_mm, down_mm)
        across = _with_edges(self.across_mm, across_mm)
        shares = self._on(down, across)
        rows = (down[:-1] >= down_mm[0] - LEAST_MM) & (down[1:] <= down_mm[1] + LEAST_MM)
        columns = (across[:-1] >= across_mm[0] - LEAST_MM) & (across[1:] <= across_mm[1] + LEAST_MM)
        if shares[np.ix_(rows, columns)].any():
            raise ValueError("a bar does not lie on image")
        shares[np.ix_(rows, columns)] = 1.0
        return SheetImage(coverage=shares, down_mm=down, across_mm=across)

    def _cut(self, frame: Frame) -> tuple[Array, Array, Array]:
        """What lies in a frame, with its edges on the sheet."""
        down = _with_edges(self.down_mm, (frame.lead_mm, frame.tail_mm))
        across = _with_edges(self.across_mm, (frame.operator_mm, frame.gear_mm))
        rows = _between(down, frame.lead_mm, frame.tail_mm)
        columns = _between(across, frame.operator_mm, frame.gear_mm)
        shares = self._on(down, across)[rows, columns]
        return shares, down[rows.start : rows.stop + 1], across[columns.start : columns.stop + 1]

    def _on(self, down: Array, across: Array) -> Array:
        """The same shares on finer edges."""
        rows = np.searchsorted(self.down_mm, (down[:-1] + down[1:]) / 2) - 1
        columns = np.searchsorted(self.across_mm, (across[:-1] + across[1:]) / 2) - 1
        return np.array(self.coverage[np.ix_(rows, columns)])


def placed(
    shares: Array, edges_mm: tuple[Array, Array], *, at_mm: tuple[float, float], size_mm: tuple[float, float]
) -> SheetImage:
    """An image laid on a blank sheet, its corner at ``at_mm``. ``ValueError`` where it does not fit."""
    made, frames = shares, []
    for axis, (edges, at, size) in enumerate(zip(edges_mm, at_mm, size_mm, strict=True)):
        own = edges - edges[0] + at
        if at < -LEAST_MM or own[-1] > size + LEAST_MM:
            raise ValueError("an image that does not fit on its sheet")
        before, behind = own[0] > LEAST_MM, size - own[-1] > LEAST_MM
        made = np.pad(made, [(before, behind) if each == axis else (0, 0) for each in (0, 1)])
        inner = np.clip(own, 0.0, size)
        frames.append(np.concatenate(([0.0] if before else [], inner, [size] if behind else [])))
    return SheetImage(coverage=np.ascontiguousarray(made), down_mm=frames[0], across_mm=frames[1])


def _backwards(edges: Array) -> Array:
    """Edges of cells in the opposite order."""
    return np.asarray(edges[-1] - edges[::-1])


def _between(edges: Array, low: float, high: float) -> slice:
    """Cells between two of their edges."""
    return slice(int(np.argmin(np.abs(edges - low))), int(np.argmin(np.abs(edges - high))))


def _with_edges(edges: Array, more: tuple[float, float]) -> Array:
    """Edges with two more among them, where they are not there already."""
    new = [each for each in more if np.abs(edges - each).min() > LEAST_MM]
    return np.sort(np.concatenate((edges, new)))
