"""The trains of the examples: small, invented, made to show one thing each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.network import FluxFeed, FountainFeed, Loop, LoopRole, Network, Nip, Place, Swing
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train, compile_network

ACCURACY = 1e-6
"""Of the settled print, where a closed form is met."""


def at(loop: str, place_mm: float) -> Place:
    """A place on a loop."""
    return Place(loop=loop, at_mm=place_mm)


def cylinders(plate_mm: float) -> tuple[Loop, Loop]:
    """Plate and blanket of one circumference."""
    return (
        Loop(id="plate", length_mm=plate_mm, role=LoopRole.PLATE),
        Loop(id="blanket", length_mm=plate_mm, role=LoopRole.BLANKET),
    )


def chain(
    count: int, *, plate_mm: float = 60.0, roller_mm: float = 20.0, flux: bool = False, share: float = 0.5
) -> Network:
    """Feed, ``count`` rollers in a row (the last is the form roller), plate, blanket, sheet.

    ``share`` of the ink leaves each nip on the sheet's side.
    """
    names = [f"R{i + 1}" for i in range(count)]
    half, middle = roller_mm / 2, plate_mm / 2
    links = [(a, half, b, 0.0) for a, b in pairwise(names)]
    links += [(names[-1], half, "plate", 0.0), ("plate", middle, "blanket", 0.0)]
    inlet = at("R1", 0.0)
    return Network(
        id="chain",
        plate_mm=plate_mm,
        loops=(*(Loop(id=name, length_mm=roller_mm) for name in names), *cylinders(plate_mm)),
        nips=tuple(Nip(a=at(a, x), b=at(b, y), share=1.0 - share) for a, x, b, y in links),
        feeds=(FluxFeed(id="feed", at=inlet) if flux else FountainFeed(id="feed", at=inlet, speed_ratio=1.0),),
        sheet=at("blanket", middle),
    )


def on_a_drum(order: Sequence[int]) -> Network:
    """One drum that meets its form rollers in ``order``; the plate meets F1, F2, ... in turn."""
    forms = [f"F{i + 1}" for i in range(len(order))]
    nips = [Nip(a=at(form, 8.0), b=at("plate", 9.0 * i)) for i, form in enumerate(forms)]
    nips += [Nip(a=at("D", 6.0 * (i + 1)), b=at(f"F{form}", 0.0)) for i, form in enumerate(order)]
    return Network(
        id="drum",
        plate_mm=80.0,
        loops=(Loop(id="D", length_mm=30.0), *(Loop(id=form, length_mm=16.0) for form in forms), *cylinders(80.0)),
        nips=(*nips, Nip(a=at("plate", 50.0), b=at("blanket", 0.0))),
        feeds=(FountainFeed(id="feed", at=at("D", 0.0), speed_ratio=1.0),),
        sheet=at("blanket", 40.0),
    )


def each_fed(count: int) -> Network:
    """Form rollers that each meet a film of their own, the same for all."""
    drum = on_a_drum(range(1, count + 1))
    return replace(
        drum,
        loops=tuple(loop for loop in drum.loops if loop.id != "D"),
        nips=tuple(nip for nip in drum.nips if nip.a.loop != "D"),
        feeds=tuple(FountainFeed(id=f"feed {i}", at=at(f"F{i}", 0.0), speed_ratio=1.0) for i in range(1, count + 1)),
    )


def with_rider(network: Network, host: str, *, length_mm: float) -> Network:
    """The same with a roller that meets one other and nothing else."""
    rider = Loop(id="rider", length_mm=length_mm)
    return replace(
        network, loops=(*network.loops, rider), nips=(*network.nips, Nip(a=at(host, 4.0), b=at("rider", 0.0)))
    )


def swinging(network: Network, loop: str, *, stroke_mm: float, cycle_rev: float) -> Network:
    """The same with one roller that oscillates."""
    swing = Swing(stroke_mm=stroke_mm, cycle_rev=cycle_rev)
    loops = tuple(replace(each, swing=swing) if each.id == loop else each for each in network.loops)
    return replace(network, loops=loops)


def cut(network: Network, *, round_mm: float, width_mm: float = 1.0, across_mm: float = 1.0) -> Train:
    """The train in cells; one column where everything is even across."""
    return compile_network(network, grid_of(network.plate_mm, width_mm, round_mm=round_mm, across_mm=across_mm))


def demand_on(train: Train, coverage: Array | float, *, film_um: Array | float = 10.0) -> Demand:
    """A coverage (even, by plate row, or by row and column) printed with one film on every fountain."""
    rows = np.broadcast_to(
        np.atleast_1d(np.asarray(coverage, dtype=np.float64)).T, (train.grid.columns, train.grid.rows)
    )
    return Demand(coverage=rows.T.copy(), films_um={feed.id: film_um for feed in train.feeds})


def settled(train: Train, demand: Demand) -> Solution:
    """The settled print; raises where it does not settle, so that no picture can show less."""
    return settle(train, demand, accuracy=ACCURACY, throw=True)
