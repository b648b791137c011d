"""One train marched by us and by the naive model, and what must then agree."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from dataclasses import asdict

import numpy as np
import pytest

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare, Transfer
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.network import Network
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train, compile_network
from physics.naive import NaiveTrain

SAME = 1e-12
"""Both do the same sums in another order: rounding only."""


def naive_of(net: Network, grid: Grid) -> NaiveTrain:
    return NaiveTrain(asdict(net), plate_rows=grid.rows, columns=grid.columns, width_mm=grid.width_mm)


def turn_naive(
    naive: NaiveTrain, net: Network, grid: Grid, demand: Demand, *, revolutions: int, open_nips: Collection[int] = ()
) -> None:
    """The naive train turned for whole revolutions under the same demand."""
    contacts = [grid.profile(each.contact).tolist() for each in net.nips]
    film = np.broadcast_to(demand.films_um["feed"], (grid.columns,)).tolist()
    round_mm, across_mm = demand.sheet_round_mm, demand.sheet_across_mm

    def lies(row: int, column: int) -> bool:
        along = round_mm is None or round(round_mm[0] / grid.round_mm) <= row < round(round_mm[1] / grid.round_mm)
        return along and (across_mm is None or across_mm[0] <= (column + 0.5) * grid.across_mm < across_mm[1])

    for _ in range(revolutions * grid.rows):
        naive.turn(
            coverage=demand.coverage.tolist(),
            film=film,
            sweep_mm=demand.sweeps_mm.get("feed", 0.0),
            taken=taken_by(demand.transfer),
            contacts=contacts,
            open_nips=open_nips,
            sheet=lies,
        )


def taken_by(transfer: Transfer) -> Callable[[float], float]:
    """What the sheet takes, written out again: a share, or Walker & Fetsko's equation (TAGA Proc. 1955, memory)."""
    if isinstance(transfer, FixedShare):
        return lambda um: transfer.tau * um

    def law(um: float) -> float:
        x = um * transfer.density
        held = transfer.b * (1 - math.exp(-x / transfer.b))
        return (1 - math.exp(-transfer.k * x)) * (held + transfer.f * (x - held)) / transfer.density

    return law


def twins(
    net: Network,
    grid: Grid,
    demand: Demand,
    *,
    revolutions: int,
    open_nips: Collection[int] = (),
    native: bool = False,
) -> tuple[Train, Marched, NaiveTrain]:
    train = compile_network(net, grid)
    ours = march(train, demand, state=empty(train), revolutions=revolutions, native=native)
    naive = naive_of(net, grid)
    turn_naive(naive, net, grid, demand, revolutions=revolutions, open_nips=open_nips)
    return train, ours, naive


def naive_films(train: Train, naive: NaiveTrain, id: str) -> Array:
    """Films of one loop of the naive train in the order of a state."""
    loop = train.loops[train.loop_index(id)]
    turned = naive.turned.get(id, naive.step)
    films = [naive.film[id][(turned + k) % loop.cells] for k in range(loop.cells)]
    return np.asarray(np.array(films) / loop.speed)


def agree(train: Train, ours: Marched, naive: NaiveTrain, *, prints: bool = True) -> None:
    """Every film, the last print, ink fed and printed; ``prints``: and something has come through to the sheet."""
    for loop in train.loops:
        films = ours.state.of(train, loop.id)
        assert np.abs(films - naive_films(train, naive, loop.id)).max() < SAME * max(1.0, films.max()), loop.id
    assert np.abs(ours.sheet_um - np.array(naive.printed_film)).max() < SAME * max(1.0, ours.sheet_um.max())
    assert ours.fed.sum() == pytest.approx(naive.fed, rel=1e-12)
    assert ours.printed.sum() == pytest.approx(naive.printed, rel=1e-12)
    assert naive.fed > 0
    assert ours.printed.sum() > 0 or not prints
