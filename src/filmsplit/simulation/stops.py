"""Where a loop's surface stops on its way round, and the arcs between: the train as its mean films see it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.simulation.train import Train


@dataclass(frozen=True, slots=True)
class Stop:
    """One piece of work on one loop. ``kind`` is nip, feed or sheet, ``side`` 0 or 1 in a nip.

    ``rows`` are the rows of a state that are on their way to it: the arc before the stop.
    """

    kind: str
    number: int
    side: int
    loop: int
    following: int
    rows: NDArray[np.int64]


def stops_of(train: Train) -> tuple[Stop, ...]:
    """Every stop of every loop; ``following`` is the number of the next stop on the same loop."""
    found: list[Stop] = []
    for loop_number, loop in enumerate(train.loops):
        places = sorted(_places(train, loop_number))
        first = len(found)
        for i, (place, kind, number, side) in enumerate(places):
            before = places[i - 1][0] if i else places[-1][0] - loop.cells
            stations = np.arange(before + 1, place + 1)
            rows = loop.offset + (-stations) % loop.cells
            found.append(Stop(kind, number, side, loop_number, first + (i + 1) % len(places), rows))
    return tuple(found)


def _places(train: Train, loop_number: int) -> list[tuple[int, str, int, int]]:
    cells = train.loops[loop_number].cells
    places: list[tuple[int, str, int, int]] = []
    for number, nip in enumerate(train.nips):
        if nip.a == loop_number:
            places.append((nip.at_a % cells, "nip", number, 0))
        if nip.b == loop_number:
            places.append((nip.at_b % cells, "nip", number, 1))
    places += [(f.at % cells, "feed", i, 0) for i, f in enumerate(train.feeds) if f.loop == loop_number]
    if train.sheet is not None and train.sheet[0] == loop_number:
        places.append((train.sheet[1], "sheet", 0, 0))
    return places
