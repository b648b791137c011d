"""Orders of convergence: cells round the loops, columns across."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import FountainFeed, Loop, LoopRole, Network, Swing
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network
from physics.trains import at, nip

PLATE = 400.0
ARCS = {"A": (60.0, 70.0), "B": (50.0, 80.0)}
"""Two rollers: travel from the feeding side to the next nip, and on round to the feeding side."""


def modulated_train(extra: float) -> Network:
    """A host as long as the plate, reset every turn, feeds A -> B -> plate; arcs ``extra`` longer."""
    loops = [Loop(id="host", length_mm=PLATE)]
    loops += [Loop(id=id, length_mm=there + back + 2 * extra) for id, (there, back) in ARCS.items()]
    loops += [Loop(id="plate", length_mm=PLATE, role=LoopRole.PLATE)]
    loops += [Loop(id="blanket", length_mm=PLATE, role=LoopRole.BLANKET)]
    nips = (
        nip(("host", 0.0), ("A", 0.0)),
        nip(("A", ARCS["A"][0] + extra), ("B", 0.0)),
        nip(("B", ARCS["B"][0] + extra), ("plate", 0.0)),
        nip(("plate", 200.0), ("blanket", 0.0)),
    )
    return Network(id="modulated", plate_mm=PLATE, loops=tuple(loops), nips=nips, sheet=at("blanket", 160.0))


def marched_amplitude(extra: float, *, rows: int, harmonic: int) -> complex:
    """Complex amplitude of the film the host brings to the blanket's film leaving for the sheet, after many turns."""
    train = compile_network(modulated_train(extra), grid_of(PLATE, 1.0, round_mm=PLATE / rows, across_mm=1.0))
    state = empty(train)
    host = train.loops[train.loop_index("host")].rows
    wave = np.exp(2j * np.pi * harmonic * (np.arange(rows) + 0.5) / rows)
    demand = Demand(coverage=np.ones((rows, 1)))
    for _ in range(60):
        state.films[host, 0] = 1.0 + 0.5 * wave.real
        done = march(train, demand, state=state, revolutions=1)
        state = done.state
    # row r of the sheet was printed when row r of the plate had passed 200 mm to the blanket and 160 mm to the sheet
    return complex(2 * np.mean(done.sheet_um[:, 0] * wave.conj()) / 0.5)


def exact_amplitude(extra: float, *, harmonic: int) -> complex:
    """Transfer of the delay network at one harmonic, every length in mm (linear algebra, model section 5.8).

    Unknowns: A arriving at B, A arriving at the host, B at the plate, B back at A, plate arriving at the blanket,
    plate back at B, blanket arriving at the sheet, blanket back at the plate.
    """

    def lag(mm: float) -> complex:
        return complex(np.exp(-2j * np.pi * harmonic * mm / PLATE))

    (a1, a2), (b1, b2) = ARCS["A"], ARCS["B"]
    m, right = np.eye(8, dtype=complex), np.zeros(8, dtype=complex)
    rows = [
        (0, (1,), lag(a1 + extra), 0.5),
        (1, (0, 3), lag(a2 + extra), 0.5),
        (2, (0, 3), lag(b1 + extra), 0.5),
        (3, (2, 5), lag(b2 + extra), 0.5),
        (4, (2, 5), lag(200.0), 0.5),
        (5, (4, 7), lag(200.0), 0.5),
        (6, (4, 7), lag(160.0), 0.5),
        (7, (6,), lag(240.0), 0.5),
    ]
    for row, sources, delay, part in rows:
        for source in sources:
            m[row, source] -= part * delay
    right[0] = 0.5 * lag(a1 + extra)
    return complex(0.5 * np.linalg.solve(m, right)[6] * lag(-360.0))  # seen from the plate row it was printed from


@pytest.mark.parametrize("harmonic", [1, 3, 7])
def test_modulated_feed_is_exact_where_lengths_are_whole_cells(harmonic: int) -> None:
    """Arcs are pure delays, so nothing but rounding is left (algebra)."""
    marched = marched_amplitude(0.0, rows=40, harmonic=harmonic)
    assert marched == pytest.approx(exact_amplitude(0.0, harmonic=harmonic), rel=1e-9)


def test_first_order_round_the_loops_where_lengths_are_rounded() -> None:
    """Every arc a quarter cell too short: cells 10, 2 and 0.4 mm (2.5 mm is 0.25, 1.25 and 6.25 cells)."""
    errors = [
        abs(marched_amplitude(2.5, rows=rows, harmonic=3) - exact_amplitude(2.5, harmonic=3))
        for rows in (40, 200, 1000)
    ]
    orders = np.log(np.array(errors[:-1]) / errors[1:]) / np.log(5)
    assert orders[-1] == pytest.approx(1.0, abs=0.1)


def sideways_profile(columns: int) -> Array:
    loops = (
        Loop(id="T", length_mm=30.0, swing=Swing(stroke_mm=20.0, cycle_rev=1.3)),
        Loop(id="F", length_mm=24.0),
        Loop(id="plate", length_mm=60.0, role=LoopRole.PLATE),
        Loop(id="blanket", length_mm=60.0, role=LoopRole.BLANKET),
    )
    network = Network(
        id="sideways",
        plate_mm=60.0,
        loops=loops,
        nips=(nip(("T", 15.0), ("F", 0.0)), nip(("F", 12.0), ("plate", 0.0)), nip(("plate", 30.0), ("blanket", 0.0))),
        feeds=(FountainFeed(id="feed", at=at("T", 0.0), speed_ratio=1.0),),
        sheet=at("blanket", 30.0),
    )
    grid = grid_of(60.0, 160.0, round_mm=2.0, across_mm=160.0 / columns)
    train = compile_network(network, grid)
    film = 10 + 5 * np.cos(2 * np.pi * grid.centres_mm / 40)
    demand = Demand(coverage=np.full((30, columns), 0.5), films_um={"feed": film})
    printed = march(train, demand, state=empty(train), revolutions=40).printed[-1]
    middle = printed[columns // 4 : -columns // 4]
    return np.asarray(middle.reshape(40, -1).mean(axis=1) / 15.0)


def test_second_order_across() -> None:
    """Overlaps are linear interpolation of cell means: the error of a smooth profile falls with the width squared."""
    columns = (80, 160, 320, 640, 1280)
    profiles = [sideways_profile(count) for count in columns]
    errors = [np.abs(fine - rough).max() for rough, fine in pairwise(profiles)]
    order = -np.polyfit(np.log(columns[:-1]), np.log(errors), 1)[0]  # over an eightfold range: steps alone scatter
    assert np.ptp(profiles[-1]) > 0.02  # there is a profile to be right about
    assert order == pytest.approx(2.0, abs=0.1)


def test_columns_do_not_interact_without_oscillation() -> None:
    """A change of one key moves that column only (model, section 5.4), to the bit."""
    loops = modulated_train(0.0)
    net = replace(loops, feeds=(FountainFeed(id="feed", at=at("A", 10.0), speed_ratio=0.5),))
    train = compile_network(net, grid_of(PLATE, 5.0, round_mm=10.0, across_mm=1.0))
    films = np.full(5, 8.0)
    changed = films.copy()
    changed[2] = 11.0
    done = [
        march(train, Demand(coverage=np.full((40, 5), 0.7), films_um={"feed": f}), state=empty(train), revolutions=30)
        for f in (films, changed)
    ]
    same = [np.array_equal(done[0].state.films[:, c], done[1].state.films[:, c]) for c in range(5)]
    assert same == [True, True, False, True, True]
