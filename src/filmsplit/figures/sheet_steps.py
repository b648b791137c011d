"""The film of a sheet against its aim as a small picture, made while somebody waits: steps from light to dark."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from filmsplit.figures.drawing import PAPER
from filmsplit.figures.png import palette_png
from filmsplit.figures.sheet_map import colours_of

Array = NDArray[np.float64]

BOUNDS = (0.8, 0.9, 0.97, 1.03, 1.1, 1.25)
"""Film over the aim between one step and the next: always the same, so that a picture can be compared with the last."""
COLOURS = tuple(colours_of(len(BOUNDS) + 1))


def sheet_steps(film_um: Array, *, coverage: Array, aim_um: float) -> bytes:
    """Film [rows from the lead edge, columns from the operator's side] as a PNG, one dot a cell, lead edge at the
    bottom; white without image. ``ValueError`` for a film that is no number, an aim that is none."""
    if film_um.shape != coverage.shape or film_um.size == 0 or not aim_um > 0:
        raise ValueError("needs a film and a coverage alike in shape, and an aim above zero")
    if not np.all(np.isfinite(film_um)):
        raise ValueError("every film must be a number")
    steps = 1 + np.searchsorted(BOUNDS, film_um / aim_um, side="right")
    dots = np.where(coverage > 0, steps, 0).astype(np.uint8)[::-1]
    return palette_png([row.tobytes() for row in dots], [PAPER, *COLOURS])
