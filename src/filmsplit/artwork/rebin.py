"""Move shares from one set of cells to another so that every square millimetre of image arrives."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


def amounts(shares: Numbers, from_mm: Numbers, to_mm: Numbers) -> Numbers:
    """Share times length along the last axis, summed into the cells between ``to_mm``.

    Each cell gives to another by the length the two have in common (area weighting): the running sum is piecewise
    linear, so its values at the new edges are exact. What lies outside ``to_mm`` is left out.
    """
    running = np.zeros((*shares.shape[:-1], from_mm.size))
    np.cumsum(shares * np.diff(from_mm), axis=-1, out=running[..., 1:])
    at = np.clip(to_mm, from_mm[0], from_mm[-1])
    cell = np.clip(np.searchsorted(from_mm, at, side="right") - 1, 0, from_mm.size - 2)
    part = (at - from_mm[cell]) / (from_mm[cell + 1] - from_mm[cell])
    low, high = running[..., cell], running[..., cell + 1]
    return np.diff(low + (high - low) * part, axis=-1).clip(min=0.0)


def areas(shares: Numbers, from_mm: tuple[Numbers, Numbers], to_mm: tuple[Numbers, Numbers]) -> Numbers:
    """Image area in mm² that falls into each of the new cells; edges round first, then across."""
    across = amounts(shares, from_mm[1], to_mm[1])
    return amounts(across.T, from_mm[0], to_mm[0]).T
