"""What a ductor lets through: the ink of one cycle, from the fountain to the train, per film that is between them.

A ductor turns a little on the fountain and further on the train, so some of its surface is inked or emptied twice and
some not at all, cycle after cycle in the same way. That pattern, not the mean, decides how much ink it carries; and
because it consists of whole cells, a coarser grid carries up to some per cent more or less.
"""

from __future__ import annotations

import numpy as np

from filmsplit.simulation.demand import Loaded
from filmsplit.simulation.train import Train

MOST_CYCLES = 400

STILL = 1e-9
"""A cycle that feeds the same as the last within this part of it goes on for ever."""


def conductance(train: Train, loaded: Loaded, *, feed: int) -> float:
    """Ink fed in one cycle per film difference between fountain and train (cells, per width): the fountain at 1, the
    train at 0, marched over the ductor's own cells until it repeats."""
    source = train.feeds[feed]
    nip = next((nip for nip in train.nips if source.loop in (nip.a, nip.b)), None)
    if nip is None or source.ductor is None:
        return 0.0
    cells, sweep = train.loops[source.loop].cells, loaded.sweeps[feed]
    share = source.supply.train_share
    at, stays = (nip.at_a, nip.share) if nip.a == source.loop else (nip.at_b, 1.0 - nip.share)
    films, turned, before = np.full(cells, 0.5), 0, -1.0
    for _ in range(MOST_CYCLES):
        fed = 0.0
        for first, length in _laps(turned - source.at, int(sweep), cells=cells):
            gain = share - (1.0 - share) * films[first : first + length]
            films[first : first + length] += gain
            fed += float(gain.sum())
        last = (turned - source.at + int(sweep)) % cells
        gain_last = (sweep - int(sweep)) * (share - (1.0 - share) * films[last])
        films[last] += gain_last
        fed += float(gain_last)
        turned += round(sweep)
        for first, length in _laps(turned - at, source.ductor.dwell_train, cells=cells):
            films[first : first + length] *= stays
        turned += source.ductor.dwell_train
        if abs(fed - before) <= STILL * fed:
            break
        before = fed
    return fed


def _laps(first: int, length: int, *, cells: int) -> list[tuple[int, int]]:
    """A run of cells cut where the loop comes round: where each piece begins and its length."""
    pieces, row = [], first % cells
    while length > 0:
        piece = min(length, cells - row)
        pieces.append((row, piece))
        row, length = 0, length - piece
    return pieces
