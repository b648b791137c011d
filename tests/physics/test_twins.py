"""The marching kernel against a naive model that shares no code with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.simulation.demand import Demand, Running
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Loop, Network, Swing
from filmsplit.simulation.state import empty, uniform
from filmsplit.simulation.train import compile_network
from physics.trains import at, chain, coverage, nip, small_press
from physics.twins import agree, twins


@pytest.mark.parametrize(
    ("feed", "cycle_rev", "swing"),
    [("ductor", 2.0, True), ("ductor", 1.5, True), ("fountain", 1.0, True), ("ductor", 1.0, False)],
)
def test_marched_train_equals_naive_train(feed: str, cycle_rev: float, swing: bool, kernel: bool) -> None:
    """Everything at once: oscillators, ductor or fountain, faces, imperfect contact, uneven share, tints and a gap."""
    net = small_press(feed=feed, cycle_rev=cycle_rev, swing=swing)
    grid = grid_of(120, 40, round_mm=2.0, across_mm=4.0)
    film = np.linspace(20, 40, grid.columns)
    demand = Demand(
        coverage=coverage(grid, gap=0.2), films_um={"feed": film}, sweeps_mm={"feed": 21.3} if feed == "ductor" else {}
    )
    agree(*twins(net, grid, demand, revolutions=4, native=kernel))


def test_flux_feed_and_unequal_shares_equal_naive(kernel: bool) -> None:
    net = chain(4, feed="flux", share=0.6)
    grid = grid_of(60, 3, round_mm=1.0, across_mm=1.0)
    demand = Demand(coverage=coverage(grid, gap=0.1, mean=0.5), films_um={"feed": 2.0})
    agree(*twins(net, grid, demand, revolutions=5, native=kernel))


def test_one_form_roller_thrown_off_equals_naive(kernel: bool) -> None:
    net = small_press(feed="fountain")
    grid = grid_of(120, 40, round_mm=2.0, across_mm=4.0)
    demand = Demand(
        coverage=coverage(grid, gap=0.2), films_um={"feed": 30.0}, running=Running(thrown_off=frozenset({"F1"}))
    )
    number = next(i for i, n in enumerate(net.nips) if n.a.loop == "F1" and n.b.loop == "plate")
    agree(*twins(net, grid, demand, revolutions=3, open_nips=(number,), native=kernel))


def test_sweep_longer_than_the_ductor_equals_naive(kernel: bool) -> None:
    """More than its circumference passes again."""
    net = small_press(swing=False)
    grid = grid_of(120, 40, round_mm=2.0, across_mm=8.0)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 55.0})
    agree(*twins(net, grid, demand, revolutions=4, native=kernel))


@pytest.mark.parametrize("net", [small_press(), small_press(feed="fountain"), chain(5)])
def test_many_steps_at_a_time_are_the_same_to_the_bit(net: Network, kernel: bool) -> None:
    """An arc is a delay, so the order of work within its length cannot matter (exact)."""
    grid = grid_of(net.plate_mm, 40, round_mm=1.0, across_mm=2.0)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    trains = [compile_network(net, grid, block=block) for block in (None, 1, 7)]
    assert trains[0].block > 8
    films = [march(train, demand, state=empty(train), revolutions=3, native=kernel).state.films for train in trains]
    assert films[0].max() > 0
    assert np.array_equal(films[0], films[1])
    assert np.array_equal(films[0], films[2])


def test_marching_in_parts_is_marching_at_once() -> None:
    """A state carries all that matters, at any revolution within the ductor's and oscillators' cycles."""
    net = small_press(cycle_rev=1.5)
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(net, grid)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 21.3})
    once = march(train, demand, state=empty(train), revolutions=5)
    state = empty(train)
    for turns in (1, 1, 3):
        state = march(train, demand, state=state, revolutions=turns).state
    assert np.array_equal(once.state.films, state.films)
    assert once.state.films.max() > 0


def test_slipping_rollers_of_unequal_speed_equal_their_flux() -> None:
    """A loop at half speed: the nip shares volume by r^1.65/(1 + r^1.65), r = 1/2 (the definition, by hand)."""
    net = chain(2)
    slow = replace(net, loops=(Loop(id="S", length_mm=18.0, speed=0.5), *net.loops))
    slow = replace(slow, nips=(nip(("S", 0.0), ("R1", 4.0), slips=True), *net.nips), sheet=at("blanket", 30.0))
    grid = grid_of(60, 1, round_mm=1.0, across_mm=1.0)
    train = compile_network(slow, grid)
    share = 0.5**1.65 / (1 + 0.5**1.65)
    demand = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0})
    done = march(train, demand, state=empty(train), revolutions=1500)
    film_s, films_r = done.state.of(train, "S"), done.state.of(train, "R1")
    # settled, no net flow through the nip: volume v on S in and out, v = share (v + d), d the film R1 brings
    assert film_s.max() - film_s.min() < 1e-9
    brought = film_s[0, 0] * 0.5 * (1 - share) / share
    assert np.isclose(films_r, brought, rtol=1e-9).any()


def oscillating_chain() -> Network:
    """Its first roller oscillates under the fountain, its last on the plate, with imperfect contact."""
    swings = {"R1": Swing(stroke_mm=7.0, cycle_rev=2.0), "R3": Swing(stroke_mm=5.0, cycle_rev=3.0, phase_deg=50.0)}
    net = chain(3)
    return replace(
        net,
        loops=tuple(replace(loop, swing=swings.get(loop.id)) for loop in net.loops),
        nips=tuple(replace(nip, contact=((0.0, 0.5), (40.0, 1.0))) for nip in net.nips),
    )


@pytest.mark.parametrize(
    "net",
    [small_press(), small_press(feed="fountain"), small_press(swing=False), chain(4), oscillating_chain()],
)
def test_both_kernels_agree_to_the_bit(net: Network, built_kernel: None) -> None:  # noqa: ARG001
    """The same sums in the same order, nothing fused: films, print and what was seen passing."""
    grid = grid_of(net.plate_mm, 40, round_mm=1.0, across_mm=1.0)
    train = compile_network(net, grid)
    demand = Demand(
        coverage=coverage(grid, gap=0.1), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0}, sheet_across_mm=(3, 37)
    )
    if net.id == "chain":
        demand = replace(demand, sweeps_mm={})
    ours, plain = (
        march(train, demand, state=empty(train), revolutions=4, watch=True, native=native) for native in (True, False)
    )
    assert ours.sheet_um.max() > 0
    assert np.array_equal(ours.state.films, plain.state.films)
    assert np.array_equal(ours.sheet_um, plain.sheet_um)
    assert ours.fed == pytest.approx(plain.fed, rel=1e-12)
    assert ours.printed == pytest.approx(plain.printed, rel=1e-12)
    for name in ("arriving", "leaving", "weight", "sheet_um"):
        assert getattr(ours.passing, name) == pytest.approx(getattr(plain.passing, name), rel=1e-12)
    assert ours.passing is not None
    assert plain.passing is not None
    for loop, films in plain.passing.ductors.items():
        assert ours.passing.ductors[loop] == pytest.approx(films, rel=1e-12)


def test_single_precision_kernels_agree_within_rounding(built_kernel: None) -> None:  # noqa: ARG001
    net = small_press()
    grid = grid_of(120, 40, round_mm=1.0, across_mm=1.0)
    train = compile_network(net, grid, dtype="float32")
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    ours, plain = (
        march(train, demand, state=empty(train), revolutions=4, native=native).state.films for native in (True, False)
    )
    assert ours.dtype == np.float32
    assert plain.max() > 0
    assert np.abs(ours - plain).max() <= 1e-5 * plain.max()


@pytest.mark.parametrize("cores", [2, 3, 1000])
@pytest.mark.parametrize(
    "net", [small_press(), small_press(feed="fountain"), small_press(swing=False), oscillating_chain()]
)
def test_more_cores_give_the_same_to_the_bit(net: Network, cores: int, built_kernel: None) -> None:  # noqa: ARG001
    """Threads share out columns and fetch their neighbours' before sideways nips: no sum changes its order (exact)."""
    grid = grid_of(net.plate_mm, 40, round_mm=1.0, across_mm=0.5)
    train = compile_network(net, grid)
    film = np.linspace(20.0, 40.0, grid.columns)
    demand = Demand(coverage=coverage(grid, gap=0.1), films_um={"feed": film}, sweeps_mm={"feed": 20.0})
    one, more = (
        march(train, demand, state=empty(train), revolutions=3, watch=True, cores=number) for number in (1, cores)
    )
    assert one.sheet_um.max() > 0
    for name in ("sheet_um", "fed", "printed"):
        assert np.array_equal(getattr(one, name), getattr(more, name)), name
    assert np.array_equal(one.state.films, more.state.films)
    for name in ("arriving", "leaving", "weight", "sheet_um"):
        assert np.array_equal(getattr(one.passing, name), getattr(more.passing, name)), name
    assert one.passing is not None
    assert more.passing is not None
    for loop, films in one.passing.ductors.items():
        assert np.array_equal(more.passing.ductors[loop], films)


def test_no_revolution_leaves_everything_as_it_was(kernel: bool) -> None:
    net = small_press()
    train = compile_network(net, grid_of(120, 40, round_mm=2.0, across_mm=2.0))
    demand = Demand(coverage=coverage(train.grid), films_um={"feed": 30.0})
    state = uniform(train, {loop.id: 2.0 for loop in train.loops})
    done = march(train, demand, state=state, revolutions=0, native=kernel)
    assert np.array_equal(done.state.films, state.films)
    assert done.state.step == state.step
