"""How long to wait before a change of the keys can be judged."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution

MOST_SHEETS = 2000
"""A change that is not made after so many sheets is reported as such."""

LEFT = 0.05
"""Part of the largest change that may still be missing when a sheet is judged (95 %: common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Waited:
    """Films by sheet and zone, means over the last common period, after the change.

    ``look_again`` is the first sheet (from 1) from which on no zone lacks more than ``LEFT`` of the largest change;
    ``None`` where ``MOST_SHEETS`` were not enough, 1 where nothing changes.
    """

    films_um: Array
    settled_um: Array
    look_again: int | None


def wait_for(
    zoned: ZonedTrain, films_um: Array, *, before: Solution, most_sheets: int = MOST_SHEETS, accuracy: float = ACCURACY
) -> Waited:
    """March from the settled print ``before`` to that of other key films, one for each zone.

    :class:`NotSettledError` where the new print does not settle; ``ValueError`` where the old one had not.
    """
    was = zoned.prints_um(before)
    assert before.state is not None
    demand = zoned.keyed(films_um)
    after = settle(zoned.train, demand, accuracy=accuracy, start=before.state, throw=True)
    settled, period = zoned.prints_um(after), after.statistics.common_period
    largest = float(np.abs(settled - was).max(initial=0.0))
    state, films = before.state, np.zeros((0, was.size))
    if largest <= accuracy * float(settled.max(initial=0.0)):
        return Waited(films_um=films, settled_um=settled, look_again=1)
    while films.shape[0] < most_sheets:
        done = march(zoned.train, demand, state=state, revolutions=min(period, most_sheets - films.shape[0]))
        state = done.state
        films = np.vstack([films, np.array([zoned.films_of(sheet) for sheet in done.printed])])
        if np.all(np.abs(films[-period:].mean(axis=0) - settled) <= LEFT * largest / 2):
            break
    averaged = _averaged(films, was, period=period)
    return Waited(films_um=averaged, settled_um=settled, look_again=_there(averaged, settled, LEFT * largest))


def _averaged(films: Array, before: Array, *, period: int) -> Array:
    """Means over the last ``period`` sheets; those before the change carried ``before``."""
    sums = np.cumsum(np.vstack([np.zeros(before.size), np.tile(before, (period, 1)), films]), axis=0)
    return np.asarray((sums[period + 1 :] - sums[1:-period]) / period)


def _there(films: Array, settled: Array, within_um: float) -> int | None:
    """First sheet from which on every zone is within so much of its settled film."""
    off = np.flatnonzero(np.any(np.abs(films - settled) > within_um, axis=1))
    first = 1 if off.size == 0 else int(off[-1]) + 2
    return first if first <= films.shape[0] else None
