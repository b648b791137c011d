"""What the tests ask of a march: until nothing moves, and the films that pass a nip."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare, Transfer
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.network import Network
from filmsplit.simulation.state import State, empty
from filmsplit.simulation.train import Train, compile_network

REST = 1e-13
"""A state that changes less than this part of its largest film over a stretch is at rest: rounding."""

HALF = FixedShare()


def at_rest(train: Train, demand: Demand, *, rest: float = REST, turns: int = 60, most: int = 400) -> State:
    """Marched from empty until nothing moves any more; nothing here rests on the solver.

    ``turns`` must be a multiple of the common period; ``rest`` is what may still change over so many.
    ``AssertionError`` where it never comes to rest.
    """
    state = empty(train)
    for _ in range(most):
        after = march(train, demand, state=state, revolutions=turns).state
        moved = np.abs(after.films - state.films).max()
        state = after
        if moved <= rest * np.abs(after.films).max():
            return state
    raise AssertionError(f"{train.network.id} did not come to rest in {most * turns} turns")


def train_of(net: Network, *, rows: int, columns: int = 1) -> Train:
    """Cut into ``rows`` cells round the plate and columns 1 mm wide."""
    return compile_network(net, grid_of(net.plate_mm, float(columns), round_mm=net.plate_mm / rows, across_mm=1.0))


def settled(
    net: Network,
    *,
    cover: float | Array = 1.0,
    film: float = 10.0,
    rows: int = 60,
    columns: int = 1,
    transfer: Transfer = HALF,
    sweeps_mm: Mapping[str, float] | None = None,
) -> tuple[Train, Marched]:
    """A train marched to rest, and one more watched turn; all feeds at ``film``."""
    train = train_of(net, rows=rows, columns=columns)
    demand = Demand(
        coverage=np.broadcast_to(np.asarray(cover, dtype=float), (rows, columns)),
        films_um={feed.id: film for feed in net.feeds},
        sweeps_mm=sweeps_mm or {},
        transfer=transfer,
    )
    return train, march(train, demand, state=at_rest(train, demand), revolutions=1, watch=True)


def passing(train: Train, done: Marched, id: str) -> tuple[Array, Array]:
    """Mean films arriving at and leaving a nip, (a, b) each, as volumes per travel."""
    assert done.passing is not None
    number = next(i for i, nip in enumerate(train.nips) if nip.id == id)
    weight = done.passing.weight[number].sum(axis=1)
    arriving, leaving = (ink[number].sum(axis=1) / weight for ink in (done.passing.arriving, done.passing.leaving))
    return arriving, leaving
