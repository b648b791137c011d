"""Anderson's acceleration of a fixed-point iteration x <- x + g(x), with a short memory.

Anderson, J. ACM 12 (1965) 547; Walker & Ni, SIAM J. Numer. Anal. 49 (2011) 1715: for an affine map it is equivalent
to GMRES as long as nothing is forgotten. Departures from the usual form: differences are kept in single precision and
scaled to unit length (half the memory, and old large ones cannot drown new small ones), the last step is kept in single
precision too (it is small itself, so its difference loses nothing), and the first one forgotten is the oldest.
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

    memory: int = 2
    _moves: list[NDArray[np.float32]] = field(default_factory=list)
    _changes: list[NDArray[np.float32]] = field(default_factory=list)
    _last: tuple[NDArray[np.float32], NDArray[np.float32]] | None = None

    def next(self, x: Array, step: Array) -> Array:
        """The next point, from this one (the last given out) and the plain step from it, whose array is used up."""
        now = step.astype(np.float32)
        if self._last is not None:
            self._keep(self._last[0], now - self._last[1])
        following = np.add(x, step, out=step)
        for weight, move, change in zip(self._weights(now), self._moves, self._changes, strict=True):
            following -= np.float32(weight) * move
            following -= np.float32(weight) * change
        move = np.empty(x.shape, dtype=np.float32)
        np.subtract(following, x, out=move, casting="same_kind")  # in double, and only the difference made single
        self._last = (move, now)
        return following

    def _keep(self, move: NDArray[np.float32], change: NDArray[np.float32]) -> None:
        size = np.float32(np.linalg.norm(change))
        if size == 0.0:
            return
        excess = max(0, len(self._moves) - self.memory + 1)
        del self._moves[:excess], self._changes[:excess]
        self._moves.append(move / size)
        self._changes.append(np.divide(change, size, out=change))

    def _weights(self, step: NDArray[np.float32]) -> Array:
        """Least-squares weights by the normal equations; the columns have unit length and are few."""
        if not self._changes:
            return np.zeros(0)
        gram = np.array([[np.vdot(a, b) for b in self._changes] for a in self._changes], dtype=np.float64)
        right = np.array([np.vdot(a, step) for a in self._changes], dtype=np.float64)
        if not (np.isfinite(gram).all() and np.isfinite(right).all()):
            return np.zeros(len(self._changes))  # the iteration has run out of the numbers; the caller sees that
        return np.asarray(np.linalg.lstsq(gram, right, rcond=RANK_TOLERANCE)[0])
