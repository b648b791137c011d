"""What another split at every nip would do to the print of each zone: settled to both sides, curved between."""

from __future__ import annotations

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution

SIDE = 0.05
"""How far to either side the split is moved: as far as it is likely to be off."""

Sides = tuple[Array, Array]
"""Print of each zone at ``SIDE`` less and ``SIDE`` more, over that at the split as it is (1 without image)."""


def split_sides(zoned: ZonedTrain, films_um: Array, *, solution: Solution, accuracy: float = ACCURACY) -> Sides:
    """Two settled prints with the keys as they are. :class:`NotSettledError` where one does not settle."""
    prints = zoned.prints_um(solution)
    low, high = (
        _over(zoned.with_split(by), films_um, prints, solution=solution, accuracy=accuracy) for by in (-SIDE, SIDE)
    )
    return low, high


def _over(zoned: ZonedTrain, films_um: Array, prints: Array, *, solution: Solution, accuracy: float) -> Array:
    found = settle(zoned.train, zoned.keyed(films_um), accuracy=accuracy, start=solution.state, throw=True)
    return np.divide(zoned.prints_um(found), prints, out=np.ones(prints.size), where=prints > 0)


def print_factor(sides: Sides, split: float) -> Array:
    """Factor by zone for a split that is larger by ``split``: a parabola of its logarithm through the three prints."""
    low, high = (np.log(each) for each in sides)
    part = split / SIDE
    return np.exp((high - low) / 2 * part + (high + low) / 2 * part**2)
