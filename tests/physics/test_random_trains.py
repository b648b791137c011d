"""Trains at random, in every way of running: against the naive model, and no ink made or lost."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.simulation.demand import Demand
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.network import FluxFeed, LoopRole
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import Train
from physics.marching import at_rest
from physics.random_trains import FEEDS, MODES, asked, grid_for, open_nips, random_train, train_and_demand
from physics.twins import agree, naive_of, turn_naive, twins

DOUBLE, SINGLE = 1e-11, 1e-5
"""Rounding of some 1e6 additions in each precision, as part of the ink fed (stated accuracy)."""


@pytest.mark.parametrize("feed", FEEDS)
@pytest.mark.parametrize("seed", range(6))
def test_random_train_equals_naive_train(seed: int, feed: str, kernel: bool) -> None:
    """Each seed in another way of running; cycles that divide nothing."""
    network = random_train(seed, feed=feed, divides=False)
    train, demand = train_and_demand(network, seed=seed)
    demand = asked(demand, train, MODES[seed])
    grid = grid_for(network)
    if demand.running.sheets:
        pair = twins(network, grid, demand, revolutions=4, open_nips=open_nips(network, demand), native=kernel)
        agree(*pair, prints=False)  # a late ductor may not have come through yet
        return
    demand = replace(demand, sheet_round_mm=(0.0, 0.0))  # the naive train knows no other way to have no sheet
    train, ours, naive = twins(
        network, grid, demand, revolutions=3, open_nips=open_nips(network, demand), native=kernel
    )
    assert ours.fed.sum() == pytest.approx(naive.fed, rel=1e-12)
    for loop in train.loops:
        films = ours.state.of(train, loop.id)
        assert films.mean() == pytest.approx(np.mean(naive.film[loop.id]) / loop.speed, rel=1e-12, abs=1e-14)
    assert ours.printed.sum() == naive.printed == 0


def stored(train: Train, done: Marched, demand: Demand) -> float:
    """All ink in the train by hand: films x cells, on plate and blanket x coverage."""
    total = 0.0
    for loop in train.loops:
        films = done.state.films[loop.rows].astype(float)
        lead = {LoopRole.PLATE: 0, LoopRole.BLANKET: train.blanket_lead}.get(loop.role)
        # row k of a state is the cell k before the loop's origin, so after whole revolutions plate row k
        total += float(films.sum() if lead is None else (films * np.roll(demand.coverage, -lead, axis=0)).sum())
    return total


def gap_of(train: Train, done: Marched, demand: Demand) -> float:
    """|fed - printed - stored| as a part of fed, from empty; stored summed from the films."""
    return abs(float(done.fed.sum()) - float(done.printed.sum()) - stored(train, done, demand)) / float(done.fed.sum())


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("feed", FEEDS)
@pytest.mark.parametrize("seed", range(10, 14))
def test_random_trains_lose_no_ink(seed: int, feed: str, mode: str) -> None:
    """100 revolutions from empty, oscillators on, every kind of feed, contact and way of running."""
    train, plain = train_and_demand(random_train(seed, feed=feed, divides=False), seed=seed)
    demand = asked(plain, train, mode)
    done = march(train, demand, state=empty(train), revolutions=100)
    assert gap_of(train, done, demand) <= DOUBLE
    assert done.state.films.min() >= -1e-15
    if not demand.running.sheets:
        assert done.printed.sum() == 0
    else:
        assert done.printed.sum() > 0 or demand.running.thrown_off  # that form roller may have been the only one
        assert done.printed[-1].sum() == pytest.approx((done.sheet_um * demand.coverage).sum(), rel=1e-12)
    if isinstance(train.network.feeds[0], FluxFeed):
        columns = demand.films_um["feed"][2:4]  # type: ignore[index]
        # all that is added: three columns of the drum are always there, the half-open span 5..9 mm
        assert done.fed.sum() == pytest.approx(100 * train.grid.rows * np.sum(columns), rel=1e-12)


@pytest.mark.parametrize("feed", FEEDS)
@pytest.mark.parametrize("seed", range(20, 24))
def test_random_trains_lose_no_more_than_rounding_in_single_precision(seed: int, feed: str) -> None:
    train, demand = train_and_demand(random_train(seed, feed=feed, divides=False), seed=seed, dtype="float32")
    done = march(train, demand, state=empty(train), revolutions=100)
    assert done.state.films.dtype == np.float32
    assert 0 < gap_of(train, done, demand) <= SINGLE  # and not by marching in double


def print_of(train: Train, demand: Demand, films: Marched) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Sheets of the six revolutions that all cycles divide, one after another."""
    state, sheets = films.state, []
    for _ in range(6):
        done = march(train, demand, state=state, revolutions=1)
        state = done.state
        sheets.append(done.sheet_um.astype(float))
    return np.array(sheets)


@pytest.mark.parametrize("feed", FEEDS)
@pytest.mark.parametrize("seed", range(30, 35))
def test_random_trains_settle_to_what_they_march_to(seed: int, feed: str) -> None:
    """Within the accuracy asked for on every image cell of every sheet of the common period, where they settle."""
    train, demand = train_and_demand(random_train(seed, feed=feed), seed=seed)
    solution = settle(train, demand)
    assert solution.ok
    assert solution.state is not None
    assert solution.statistics.fed_less_printed <= ACCURACY
    rest = march(train, demand, state=at_rest(train, demand, rest=1e-8), revolutions=6)
    found = march(train, demand, state=solution.state, revolutions=solution.statistics.common_period * 6)
    exact, ours = print_of(train, demand, rest), print_of(train, demand, found)
    image = demand.coverage > 0
    assert np.abs(ours - exact)[:, image].max() / exact[:, image].mean() <= ACCURACY


@pytest.mark.parametrize(("seed", "feed"), [(40, "fountain"), (41, "ductor"), (43, "flux")])
def test_settled_print_is_that_of_the_naive_train(seed: int, feed: str) -> None:
    """The naive train is given our settled films and turns one common period: they must come back, and the print be
    ours. A train that loses ink on the way has but one such state, so this is the settled state of the naive train."""
    network = random_train(seed, feed=feed)
    train, demand = train_and_demand(network, seed=seed)
    solution = settle(train, demand, accuracy=1e-8, most_periods=300)
    assert solution.ok
    assert solution.state is not None
    grid, period = grid_for(network), solution.statistics.common_period
    naive = naive_of(network, grid)
    for loop in train.loops:
        naive.film[loop.id] = solution.state.films[loop.rows].tolist()
    turn_naive(naive, network, grid, demand, revolutions=period)
    ours = march(train, demand, state=solution.state, revolutions=period)
    largest = solution.state.films.max()
    for loop in train.loops:
        turned = naive.turned.get(loop.id, naive.step)
        back = np.array([naive.film[loop.id][(turned + k) % loop.cells] for k in range(loop.cells)])
        assert back == pytest.approx(ours.state.films[loop.rows], abs=1e-12 * largest)
        if loop.id not in naive.turned:  # a ductor comes back turned by its sweep
            assert np.abs(back - solution.state.films[loop.rows]).max() < 1e-4 * largest
    assert np.array(naive.printed_film) == pytest.approx(ours.sheet_um, abs=1e-12)


@pytest.mark.parametrize(("seed", "feed"), [(85, "fountain"), (35, "ductor")])
def test_settled_print_is_what_the_naive_train_comes_to(seed: int, feed: str) -> None:
    """From empty, 150 turns of the naive train: by then ours moves by less than a tenth of the accuracy in 60 more."""
    network = random_train(seed, feed=feed)
    train, demand = train_and_demand(network, seed=seed)
    grid, image = grid_for(network), demand.coverage > 0
    sheets = [march(train, demand, state=empty(train), revolutions=turns).sheet_um for turns in (150, 210)]
    assert np.abs(sheets[0] - sheets[1]).max() < 0.1 * ACCURACY * sheets[1][image].mean()
    naive = naive_of(network, grid)
    turn_naive(naive, network, grid, demand, revolutions=150)
    solution = settle(train, demand)
    assert solution.ok
    assert solution.state is not None
    assert 150 % solution.statistics.common_period == 0
    ours = march(train, demand, state=solution.state, revolutions=solution.statistics.common_period)
    error = np.abs(ours.sheet_um - np.array(naive.printed_film))[image].max()
    assert error <= ACCURACY * ours.sheet_um[image].mean()
