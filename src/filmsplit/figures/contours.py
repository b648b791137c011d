"""Lines of equal value on a field of numbers (marching squares)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
_EDGES = ((0, 0, 0, 1), (0, 1, 1, 1), (1, 1, 1, 0), (1, 0, 0, 0))
"""The sides of a square of four neighbours, each by its two corners (row, column)."""
_CROSSED = {
    1: ((3, 0),), 2: ((0, 1),), 3: ((3, 1),), 4: ((1, 2),), 5: ((3, 0), (1, 2)), 6: ((0, 2),), 7: ((3, 2),),
    8: ((2, 3),), 9: ((2, 0),), 10: ((0, 1), (2, 3)), 11: ((2, 1),), 12: ((1, 3),), 13: ((1, 0),), 14: ((0, 3),),
}  # fmt: skip
"""Which sides a line joins, by which corners lie above: 1, 2, 4, 8 in the order of the sides' first corners."""
Segment = tuple[tuple[float, float], tuple[float, float]]


def contour(field: Array, level: float) -> list[Segment]:
    """Pieces of the line where ``field`` [rows, columns] passes ``level``, as (row, column) of the cells' middles.

    Squares with a corner that is not a number are passed over: no line is drawn where nothing is known.
    """
    if min(field.shape) < 2:
        return []
    corners = np.stack([field[:-1, :-1], field[:-1, 1:], field[1:, 1:], field[1:, :-1]])
    with np.errstate(invalid="ignore"):
        kinds = ((corners > level) * np.array([1, 2, 4, 8])[:, None, None]).sum(axis=0)
    kinds[~np.isfinite(corners).all(axis=0)] = 0
    found: list[Segment] = []
    for row, column in np.argwhere((kinds > 0) & (kinds < 15)).tolist():
        for sides in _CROSSED[int(kinds[row, column])]:
            first, second = (_cut(field, level, square=(row, column), side=side) for side in sides)
            found.append((first, second))
    return found


def _cut(field: Array, level: float, *, square: tuple[int, int], side: int) -> tuple[float, float]:
    """Where the line passes a side, by straight interpolation."""
    r0, c0, r1, c1 = _EDGES[side]
    row, column = square
    first, second = float(field[row + r0, column + c0]), float(field[row + r1, column + c1])
    part = (level - first) / (second - first)
    return row + r0 + part * (r1 - r0), column + c0 + part * (c1 - c0)
