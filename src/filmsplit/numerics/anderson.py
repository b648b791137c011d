"""Anderson's acceleration of a fixed-point iteration x <- x + g(x), with a short memory.

Anderson, J. ACM 12 (1965) 547; Walker & Ni, SIAM J. Numer. Anal. 49 (2011) 1715: for an affine map it is equivalent
to GMRES as long as nothing is forgotten. Differences from the usual form: they are kept in single precision and scaled
to unit length (half the memory, and old large ones cannot drown new small ones), and the first one forgotten is the
oldest.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RANK_TOLERANCE = 1e-6
"""Differences nearer to dependence than this are single-precision noise."""


@dataclass(eq=False)
class Anderson:
    """Gives the next point from the last ones. ``memory`` differences are kept."""

    memory: int = 3
    _moves: list[NDArray[np.float32]] = field(default_factory=list)
    _changes: list[NDArray[np.float32]] = field(default_factory=list)
    _last: tuple[Array, Array] | None = None

    def next(self, x: Array, step: Array) -> Array:
        """The next point, from this one and the plain step taken from it. Keeps both; do not write into them."""
        if self._last is not None:
            self._keep(x - self._last[0], step - self._last[1])
        self._last = (x, step)
        following = x + step
        for weight, move, change in zip(self._weights(step), self._moves, self._changes, strict=True):
            following -= weight * move
            following -= weight * change
        return following

    def _keep(self, move: Array, change: Array) -> None:
        size = float(np.linalg.norm(change))
        if size == 0.0:
            return
        self._moves.append((move / size).astype(np.float32))
        self._changes.append((change / size).astype(np.float32))
        del self._moves[: -self.memory], self._changes[: -self.memory]

    def _weights(self, step: Array) -> Array:
        """Least-squares weights by the normal equations; the columns have unit length and are few."""
        if not self._changes:
            return np.zeros(0)
        gram = np.array([[np.vdot(a, b) for b in self._changes] for a in self._changes], dtype=np.float64)
        right = np.array([np.vdot(a, step) for a in self._changes], dtype=np.float64)
        return np.asarray(np.linalg.lstsq(gram, right, rcond=RANK_TOLERANCE)[0])
