"""What it does to the print that cycles were pulled to divide a common period."""

from __future__ import annotations

import numpy as np

from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_cycles
from filmsplit.simulation.train import compile_network

SAFETY = 2.0
"""The mean films see what a pull does to feed and sideways movement, to within this (measured: 0.6 to 8 times)."""


def pull_error(mean: MeanTrain) -> float:
    """Estimate of the largest error of the mean print on image cells over its mean; ``mean`` is of the pulled train.

    Cycle by cycle, so that two errors cannot hide each other: the difference of the mean films with the cycle as it is
    and as it was pulled. It is about the print's mean over a long run; that the print also beats slowly where two
    cycles are nearly equal is not in it.
    """
    network = mean.train.network
    image = mean.cover > 0
    if not network.true_cycles or not image.any():
        return 0.0
    print_um = mean.print_um[image]
    found = 0.0
    for now, true in _pulled(network).items():
        unpulled = with_cycles(network, {now: true}, pulled=network.cycles_pulled)
        train = compile_network(unpulled, mean.train.grid, dtype=mean.train.dtype)
        other = MeanTrain(train, mean.loaded, blanket_um=mean.blanket_um).print_um[image]
        found += float(np.abs(other - print_um).max() / max(print_um.mean(), 1e-300))
    return SAFETY * found


def _pulled(network: Network) -> dict[float, float]:
    """True cycle of each pulled one."""
    true = dict(network.true_cycles)
    now = {loop.id: loop.swing.cycle_rev for loop in network.loops if loop.swing is not None}
    now |= {feed.id: feed.cycle_rev for feed in network.feeds if isinstance(feed, DuctorFeed)}
    return {now[id]: cycle for id, cycle in true.items() if id in now and now[id] != cycle}
