"""What the plate makes of a dot in the file, where the file is not yet the plate."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from filmsplit.messages import Problem, Refusal


@dataclass(frozen=True, slots=True)
class PlateCurve:
    """Pairs (share in the file, share on the plate), rising, from 0 to 0 and from 1 to 1; straight in between.

    It belongs on the dots of a grey picture, before anything is averaged: the mean of a bent curve is not the curve of
    the mean. A file of single bits is the plate already.
    """

    points: tuple[tuple[float, float], ...]

    @classmethod
    def from_percents(cls, pairs: Iterable[tuple[float, float]]) -> PlateCurve:
        """The curve through (percent in the file, percent on the plate); the ends are added where they lack."""
        given = {file / 100: plate / 100 for file, plate in pairs}
        points = tuple(sorted(({0.0: 0.0, 1.0: 1.0} | given).items()))
        file, plate = np.array(points).T
        good = bool(
            np.isfinite(plate).all()
            and (file[0], plate[0], file[-1], plate[-1]) == (0, 0, 1, 1)
            and (np.diff(plate) >= 0).all()
        )
        if not good:
            raise Refusal(Problem("plate-curve-not-rising", {"points": _shown(points)}))
        return cls(points)

    def __call__(self, shares: ArrayLike) -> NDArray[np.float64]:
        """Shares in the file to shares on the plate."""
        file, plate = np.array(self.points).T
        on_plate: NDArray[np.float64] = np.interp(np.asarray(shares, dtype=np.float64), file, plate)
        return on_plate

    def __str__(self) -> str:
        return _shown(self.points)


def _shown(points: Iterable[tuple[float, float]]) -> str:
    return ", ".join(f"{100 * file:g} → {100 * plate:g}" for file, plate in points)
