"""What the keys print at any sweep: solved at a few, read between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.key_response import key_responses
from filmsplit.simulation.settle import ACCURACY, settle

SOLVED = 4
"""Sweeps that are solved: the print bends with the sweep, but gently."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SweepResponse:
    """The response of every zone to every key at one sweep, and how much more or less each zone prints at others.

    ``levels[n, i]`` is the print of zone i at ``sweeps_mm[n]`` with all keys alike, over that at the sweep of
    ``matrix``. Empty where the feed has no sweep.
    """

    zoned: ZonedTrain
    matrix: Array
    sweeps_mm: Array
    levels: Array

    def at(self, sweep_mm: float | None) -> Array:
        """The response at a sweep: a curve through the solved ones that rises where they rise.

        That each row keeps its form is an approximation, so a setting found with it is settled and put right.
        """
        if sweep_mm is None or self.sweeps_mm.size < 2:
            return self.matrix
        from scipy.interpolate import PchipInterpolator  # noqa: PLC0415  (heavy)

        level = PchipInterpolator(self.sweeps_mm, self.levels, axis=0)(sweep_mm)
        return np.asarray(level[:, None] * self.matrix)


def sweep_response(
    zoned: ZonedTrain, sweeps_mm: Sequence[float], *, solved: int = SOLVED, accuracy: float = ACCURACY
) -> SweepResponse:
    """Solve the keys at a middling sweep, and all keys together at a few over the range of ``sweeps_mm``.

    Without sweeps the response is that of the feed as it is. Raises what ``key_responses`` raises.
    """
    at = np.unique(_few(sweeps_mm, solved))
    middle = zoned.swept(float(at[at.size // 2])) if at.size else zoned
    matrix = key_responses(middle.train, middle.demand, zones=zoned.zones, feed=zoned.feed, accuracy=accuracy)
    levels = np.array([_even_print(zoned.swept(float(sweep)), accuracy=accuracy) for sweep in at])
    if at.size:
        whole = levels[at.size // 2]
        levels = np.divide(levels, whole, out=np.ones(levels.shape), where=whole > 0)
    return SweepResponse(zoned=zoned, matrix=matrix, sweeps_mm=at, levels=levels)


def _few(sweeps_mm: Sequence[float], solved: int) -> Array:
    """Sweeps over the whole range, nearer together where they are small, each one that can be set."""
    able = np.array(sorted(sweeps_mm))
    if able.size <= solved:
        return able
    wanted = np.geomspace(able[0], able[-1], solved)
    return np.array([able[int(np.argmin(np.abs(able - each)))] for each in wanted])


def _even_print(zoned: ZonedTrain, *, accuracy: float) -> Array:
    """Print by zone with 1 um in every key."""
    demand = zoned.keyed(np.ones(len(zoned.zones)))
    return zoned.prints_um(settle(zoned.train, demand, accuracy=accuracy, throw=True))
