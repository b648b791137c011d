"""What each key does to the print of each zone: a matrix, prepared once and then only multiplied."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import column_image
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.linear import LinearPeriod, NotAnsweredError
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train

Zones = Sequence[tuple[int, int]]
"""First column of each zone, and the one after its last."""


def key_responses(
    train: Train, demand: Demand, *, zones: Zones, feed: str | None = None, accuracy: float = ACCURACY
) -> Array:
    """Settled mean film on the sheet in each zone (row), um per um of key film in each zone (column).

    Within ``accuracy`` of what all keys together give. A zone without image has a row of 0. Without oscillators
    nothing goes sideways, and one solve does; with them each zone takes one. ``feed`` names the feed where there are
    several. ``ValueError`` where the law on the sheet is not linear; :class:`NotSettledError` or
    :class:`NotAnsweredError` where a solve did not settle.
    """
    if not demand.transfer.is_linear:
        raise ValueError("with this law on the sheet the print is not the sum of what each key gives")
    id = _feed(train, feed)
    if not zones:
        return np.zeros((0, 0))
    each = [_only(train, demand, feed=id, zone=zone) for zone in zones]
    together = replace(demand, films_um={id: sum(one.films_um[id] for one in each)})
    whole = settle(train, together, accuracy=accuracy, throw=True)
    assert whole.answers is not None
    if any(loop.swing is not None for loop in train.loops):
        prints = _one_by_one(train, demand, each=each, within_um=accuracy * whole.answers.sheet_mean_um)
        return np.array([_zone_films(train, demand, zones=zones, printed=printed) for printed in prints]).T
    printed = (demand.coverage * whole.answers.sheet_um).sum(axis=0, dtype=np.float64)
    return np.diag(_zone_films(train, demand, zones=zones, printed=printed))


def _feed(train: Train, feed: str | None) -> str:
    ids = [each.id for each in train.feeds]
    if feed is None and len(ids) == 1:
        return ids[0]
    if feed not in ids:
        raise ValueError(f"name one of the feeds {ids}")
    return feed


def _only(train: Train, demand: Demand, *, feed: str, zone: tuple[int, int]) -> Demand:
    """The demand with 1 um in one zone and nothing anywhere else."""
    film = np.zeros(train.grid.columns)
    film[slice(*zone)] = 1.0
    return replace(demand, films_um={feed: film})


def _zone_films(train: Train, demand: Demand, *, zones: Zones, printed: Array) -> Array:
    """Mean films of zones from ink printed by column and revolution."""
    image = column_image(train, demand)
    ink, area = (np.array([each[slice(*zone)].sum() for zone in zones]) for each in (printed, image))
    return np.asarray(np.divide(ink, area, out=np.zeros(len(zones)), where=area > 0))


def _one_by_one(train: Train, demand: Demand, *, each: Sequence[Demand], within_um: float) -> list[Array]:
    """What each key prints by column in one revolution, by a solve of its own."""
    linear = LinearPeriod(train, demand)
    prints = []
    for one in each:
        first = march(train, one, state=empty(train), revolutions=linear.revolutions)
        answer = linear.answer(first.state.films, within_um=within_um)
        if not answer.settled:
            raise NotAnsweredError(answer)
        prints.append((first.printed.sum(axis=0) + answer.printed) / linear.revolutions)
    return prints
