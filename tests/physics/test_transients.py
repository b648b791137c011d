"""How fast the print follows: decay of a chain, what the feed makes of coverage, monotone answers, ink stored."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import DuctorFeed, FluxFeed, Loop, Network
from filmsplit.simulation.state import State, empty, uniform
from filmsplit.simulation.train import Train, compile_network
from physics.marching import at_rest, train_of
from physics.trains import at, chain, coverage, nip, small_press


def chain_of_nips(nips: int, *, feed: str, full_top: bool = False) -> Network:
    """Linear chain of N nips from the top to the sheet, every half-loop one cell: the plainest train there is.

    Film-fed, the feed is the first of them. Flux-fed, the whole top roller is one half-loop, or (``full_top``) a full
    roller with the flux opposite its nip.
    """
    rollers = nips - 3 if feed == "fountain" else nips - 2
    net = chain(rollers, plate_mm=20.0, roller_mm=20.0, feed=feed)
    if feed == "fountain" or full_top:
        return net
    loops = tuple(replace(lp, length_mm=10.0) if lp.id == "R1" else lp for lp in net.loops)
    first = nip(("R1", 0.0), (net.nips[0].b.loop, net.nips[0].b.at_mm))
    return replace(net, loops=loops, nips=(first, *net.nips[1:]), feeds=(FluxFeed(id="feed", at=at("R1", 0.0)),))


@pytest.mark.parametrize(
    ("feed", "full_top", "factor", "measured"),
    [
        ("fountain", False, np.cos(np.pi / 6), 0.75),
        ("flux", False, np.cos(np.pi / 11), 0.920627),
        ("flux", True, np.cos(np.pi / 12), 0.933013),
    ],
)
def test_slowest_decay_of_a_chain_of_five_nips(feed: str, full_top: bool, factor: float, measured: float) -> None:
    """Slowest factor per half revolution cos(pi/(N+1)), cos(pi/(2N+1)), cos(pi/(2N+2)), N = 5; per full revolution to
    the six decimals printed (algebra)."""
    train = train_of(chain_of_nips(5, feed=feed, full_top=full_top), rows=2)
    demand = Demand(coverage=np.ones((2, 1)), films_um={"feed": 0.0})
    state = march(train, demand, state=uniform(train, {loop.id: 1.0 for loop in train.loops}), revolutions=150).state
    later = march(train, demand, state=state, revolutions=1).state
    part = later.films.max() / state.films.max()
    assert part == pytest.approx(factor**2, rel=1e-7)
    assert part == pytest.approx(measured, abs=5e-7)


def test_a_film_fed_train_filled_from_empty_moves_every_other_half_revolution() -> None:
    """What is missing on the sheet keeps 1 and 0.75 of itself in turn, half revolution by half revolution: the empty
    train is even in a way that only every other cell sees (algebra, marched)."""
    train = train_of(chain_of_nips(5, feed="fountain"), rows=2)
    demand = Demand(coverage=np.ones((2, 1)), films_um={"feed": 10.0})
    state, missing = empty(train), []
    q = 10.0 / 6  # five nips with the feed: totals 2q ... 10q, the fountain brings 10q less the 4q that come back
    for _ in range(60):
        done = march(train, demand, state=state, revolutions=1)
        state = done.state
        missing += [q - film for film in done.sheet_um[:, 0]]  # row 1 is printed half a revolution after row 0
    parts = np.array(missing[81:101]) / np.array(missing[80:100])
    assert np.sort(parts)[:10] == pytest.approx(0.75, rel=1e-6)
    assert np.sort(parts)[10:] == pytest.approx(1.0, rel=1e-6)
    assert np.abs(np.diff(parts)) == pytest.approx(0.25, rel=1e-5)  # in turn


@pytest.mark.parametrize("cover", [0.05, 0.5, 1.0])
def test_flux_fed_response_sums_to_ink_stored_over_printed(cover: float) -> None:
    """Sum over sheets of (1 - film / settled film) = ink stored / ink printed per sheet, exact (conservation)."""
    train = train_of(chain(3, feed="flux"), rows=60)
    demand = Demand(coverage=np.full((60, 1), cover), films_um={"feed": 1.0})
    done = march(train, demand, state=empty(train), revolutions=4000)
    means = done.sheet_means_um
    final = 1.0 / cover  # all that is fed is printed
    assert means[-1] == pytest.approx(final, rel=1e-9)
    films = sum(
        float(done.state.of(train, loop.id).sum()) * (cover if loop.id in ("plate", "blanket") else 1.0)
        for loop in train.loops
    )
    assert (1 - means / final).sum() == pytest.approx(films / (final * cover * 60.0), rel=1e-8)


def test_flux_fed_response_of_a_whole_press_sums_the_same() -> None:
    """Oscillators, parallel form rollers, a gap and a patchwork of tints change nothing in it (conservation)."""
    base = small_press(feed="fountain", face=False)
    flux = FluxFeed(id="feed", at=at("T1", 36.0), face_mm=(8.0, 32.0))  # the drum's ends never leave it
    grid = grid_of(120, 40, round_mm=2.0, across_mm=4.0)
    train = compile_network(replace(base, feeds=(flux,)), grid)
    cover = np.maximum(coverage(grid, gap=0.2), 0.02)
    cover[48:] = 0
    done = march(train, Demand(coverage=cover, films_um={"feed": 0.5}), state=empty(train), revolutions=4000)
    printed, fed = done.printed.sum(axis=1), 0.5 * grid.rows * 6
    assert printed[-2:].sum() == pytest.approx(2 * fed, rel=1e-9)
    assert (1 - printed / fed).sum() == pytest.approx(done.stored_after_um_mm2 / (fed * grid.cell_mm2), rel=1e-8)


def sheets_to_63(net: Network, cover: float) -> int:
    train = compile_network(net, grid_of(60.0, 1.0, round_mm=5.0, across_mm=1.0))
    ductor = isinstance(net.feeds[0], DuctorFeed)
    demand = Demand(
        coverage=np.full((12, 1), cover), films_um={"feed": 1.0}, sweeps_mm={"feed": 10.0} if ductor else {}
    )
    means = march(train, demand, state=empty(train), revolutions=6000).sheet_means_um
    assert means[-1] == pytest.approx(means[-100], rel=1e-3)  # there is something that it is 63 % of
    assert np.all(np.diff(means) >= -1e-12 * means[-1])
    return 1 + int(np.argmax(means >= (1 - np.exp(-1)) * means[-1]))


def ductor_fed() -> Network:
    """A chain whose feed is a ductor, once a revolution."""
    net = chain(3)
    ductor = DuctorFeed(id="feed", fountain=at("D", 10.0), cycle_rev=1.0, dwell_feed_mm=10.0, dwell_train_mm=20.0)
    return replace(
        net,
        loops=(Loop(id="D", length_mm=20.0), *net.loops),
        nips=(nip(("D", 0.0), ("R1", 0.0)), *net.nips),
        feeds=(ductor,),
    )


def test_response_and_coverage() -> None:
    """Flux-fed: n63 at 1.25 % / n63 at 5 % = 4 +- 5 %; feeds that take ink back (slow fountain roller, ductor): between
    1 and 4; film-fed at equal speeds 1.0 +- 0.15 (algebra, marched). The 4 is that of a train whose store does not
    depend on coverage: rollers large beside what plate and blanket hold."""

    def ratio(net: Network) -> float:
        return sheets_to_63(net, 0.0125) / sheets_to_63(net, 0.05)

    assert ratio(chain(2, feed="flux", roller_mm=60.0)) == pytest.approx(4.0, rel=0.05)
    assert 1 < ratio(chain(3, ratio=0.02)) < 4
    assert 1 < ratio(ductor_fed()) < 4
    assert ratio(chain(3)) == pytest.approx(1.0, abs=0.15)


def phases(train: Train, demand: Demand, *, start: State, periods: int, turns: int) -> Array:
    """The sheet at the end of each common period, all cells."""
    state, sheets = start, []
    for _ in range(periods):
        done = march(train, demand, state=state, revolutions=turns)
        state = done.state
        sheets.append(done.sheet_um.astype(float))
    return np.array(sheets)


@pytest.mark.parametrize("step", [("empty", 30.0), ("up", 45.0), ("down", 20.0)])
def test_answer_to_a_step_of_the_keys_is_monotone(step: tuple[str, float]) -> None:
    """On every cell of the sheet, at the same phase of the common period of ductor and oscillators, and it ends at the
    settled value (model, 5.5; the period map has no negative entry). Tolerance: what rest leaves, and rounding."""
    grid = grid_of(120, 40, round_mm=3.0, across_mm=5.0)
    train = compile_network(small_press(cycle_rev=2.0), grid)
    kind, film = step

    def asked(key: float) -> Demand:
        return Demand(coverage=coverage(grid, gap=0.2), films_um={"feed": key}, sweeps_mm={"feed": 21.3})

    start = empty(train) if kind == "empty" else at_rest(train, asked(30.0), turns=200)
    end = march(train, asked(film), state=at_rest(train, asked(film), turns=200), revolutions=2).sheet_um
    sheets = phases(train, asked(film), start=start, periods=400, turns=2)
    direction = -1 if kind == "down" else 1
    assert (direction * np.diff(sheets, axis=0)).min() >= -1e-11 * end.max()
    assert (direction * (end - sheets)).min() >= -1e-10 * end.max()
    assert np.abs(sheets[-1] - end).max() < 0.01 * np.abs(sheets[0] - end).max()
