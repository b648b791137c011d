"""The mean films of a train whose blocks are wider than its columns, judged by marching."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.simulation.demand import FORMS_OFF, Demand, load
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import FountainFeed, LoopRole, Network, Swing
from filmsplit.simulation.train import compile_network
from physics.trains import at, chain

WIDTH = 96
"""Columns: two to a block."""


def fed_within(face_mm: tuple[float, float]) -> Network:
    """Three rollers, the second oscillating, fed at its full speed on a part of the width."""
    net = chain(3)
    loops = tuple(
        replace(loop, swing=Swing(stroke_mm=20.0, cycle_rev=2.0)) if loop.id == "R2" else loop for loop in net.loops
    )
    return replace(
        net, loops=loops, feeds=(FountainFeed(id="feed", at=at("R1", 0.0), speed_ratio=1.0, face_mm=face_mm),)
    )


@pytest.mark.parametrize("face_mm", [(10.0, 31.0), (10.0, 11.0)])
def test_a_feed_that_ends_within_a_block_gives_and_takes_by_its_own_width(face_mm: tuple[float, float]) -> None:
    """Nothing printed: every roller comes to the film that the fountain gives as much of as it takes, however narrow
    the feed (balance by hand; the model's split of a half at equal speed). A march leaves such films as they are."""
    grid = grid_of(60.0, float(WIDTH), round_mm=2.0, across_mm=1.0)
    train = compile_network(fed_within(face_mm), grid)
    demand = Demand(coverage=np.ones((grid.rows, WIDTH)), films_um={"feed": 10.0}, running=FORMS_OFF)
    mean = MeanTrain(train, load(train, demand))
    assert 2 * mean.across.count == WIDTH  # or no feed could end within a block
    state = mean.state()
    for loop in train.loops:
        film = 10.0 if loop.role is LoopRole.ROLLER else 0.0
        assert state.films[loop.rows] == pytest.approx(film, rel=1e-6)
    after = march(train, demand, state=state, revolutions=20).state
    assert after.films == pytest.approx(state.films, abs=1e-6)
