"""What each key does to the print of each zone: a matrix, prepared once and then only multiplied."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import Answers, column_image
from filmsplit.simulation.demand import Demand, load, taking
from filmsplit.simulation.linear import LinearPeriod, NotAnsweredError
from filmsplit.simulation.march import march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train

Zones = Sequence[tuple[int, int]]
"""First column of each zone, and the one after its last."""


class Sideways(Enum):
    """How ink that oscillating rollers carry from zone to zone is reckoned.

    ``EXACT`` solves once for each zone. ``MEAN`` takes the mean network's picture of it, each zone scaled so that all
    keys together give what one exact solve gives. Without oscillators nothing goes sideways, and one exact solve does.
    """

    EXACT = "exact"
    MEAN = "mean"


def key_responses(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train,
    demand: Demand,
    *,
    zones: Zones,
    feed: str | None = None,
    sideways: Sideways = Sideways.MEAN,
    accuracy: float = ACCURACY,
) -> Array:
    """Settled mean film on the sheet in each zone (row), um per um of key film in each zone (column).

    A zone without image has a row of 0. ``feed`` names the feed where there are several. ``ValueError`` where the law
    on the sheet is not linear; :class:`NotSettledError` or :class:`NotAnsweredError` where a solve did not settle.
    """
    if not demand.transfer.is_linear:
        raise ValueError("with this law on the sheet the print is not the sum of what each key gives")
    id = _feed(train, feed)
    films = [_only(train, demand, feed=id, zone=zone) for zone in zones]
    together = replace(demand, films_um={id: sum(each.films_um[id] for each in films)})
    whole = settle(train, together, accuracy=accuracy, throw=True)
    assert whole.answers is not None
    exact = _zone_films(train, demand, zones=zones, printed=_printed(demand, whole.answers))
    if not any(loop.swing is not None for loop in train.loops):
        return np.diag(exact)
    if sideways is Sideways.EXACT:
        within_um = accuracy * whole.answers.sheet_mean_um
        prints = _one_by_one(train, demand, films=films, within_um=within_um)
        return _by_zone(train, demand, zones=zones, prints=prints)
    matrix = _by_zone(train, demand, zones=zones, prints=[_mean_print(train, each) for each in films])
    together_by_mean = matrix.sum(axis=1)
    scale = np.divide(exact, together_by_mean, out=np.zeros(exact.shape), where=together_by_mean > 0)
    return np.asarray(matrix * scale[:, None])


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


def _printed(demand: Demand, answers: Answers) -> Array:
    """Ink printed by column in one revolution."""
    return np.asarray((demand.coverage * answers.sheet_um).sum(axis=0, dtype=np.float64))


def _by_zone(train: Train, demand: Demand, *, zones: Zones, prints: Sequence[Array]) -> Array:
    """Zone films by key, from what each key prints by column."""
    return np.array([_zone_films(train, demand, zones=zones, printed=each) for each in prints]).T


def _zone_films(train: Train, demand: Demand, *, zones: Zones, printed: Array) -> Array:
    """Mean films of zones from ink printed by column and revolution."""
    image = column_image(train, demand)
    sums = np.array([(printed[slice(*zone)].sum(), image[slice(*zone)].sum()) for zone in zones])
    films = np.zeros(len(zones))
    np.divide(sums[:, 0], sums[:, 1], out=films, where=sums[:, 1] > 0)
    return films


def _one_by_one(train: Train, demand: Demand, *, films: Sequence[Demand], within_um: float) -> list[Array]:
    """What each key prints by column in one revolution, by a solve of its own."""
    linear = LinearPeriod(train, demand)
    prints = []
    for only in films:
        first = march(train, only, state=empty(train), revolutions=linear.revolutions)
        answer = linear.answer(first.state.films, within_um=within_um)
        if not answer.settled:
            raise NotAnsweredError(answer)
        prints.append((first.printed.sum(axis=0) + answer.printed) / linear.revolutions)
    return prints


def _mean_print(train: Train, demand: Demand) -> Array:
    """Ink printed by column in one revolution, by the mean network."""
    mean = MeanTrain(train, load(train, demand))
    sheet = next(i for i, stop in enumerate(mean.stops) if stop.kind == "sheet")
    film = mean.films[sheet] * demand.transfer.taken_um(np.ones(1))
    columns = np.repeat(film, np.diff(mean.across.edges).astype(np.int64))
    return np.asarray(columns * (taking(train, demand) * demand.coverage).sum(axis=0, dtype=np.float64))
