"""How many steps may be made at a time, and in which order the nips must then be worked.

A cell that leaves nip X reaches the next nip Y only after the arc between them. If every nip is worked for K steps
at a stretch, X must come before Y wherever that arc is shorter than K; the result is then the same as going step by
step. So K may be as long as those "before" relations have no cycle.
"""

from __future__ import annotations

from collections.abc import Sequence
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from filmsplit.simulation.train import CellFeed, CellLoop, CellNip

LONGEST_BLOCK = 64
"""More steps at a time than this gain nothing: the work no longer fits the processor's cache."""

Arc = tuple[int, int, int]
"""Work leaving, work reached next, cells between."""


def schedule(
    loops: Sequence[CellLoop],
    *,
    nips: Sequence[CellNip],
    feeds: Sequence[CellFeed],
    sheet: tuple[int, int] | None,
) -> tuple[tuple[int, ...], int]:
    """Order of work (nips, then feeds without a ductor, then the sheet, numbered through) and the block length."""
    arcs = arcs_of(loops, nips=nips, feeds=feeds, sheet=sheet)
    works = len(nips) + len(feeds) + (sheet is not None)
    lengths = {1, LONGEST_BLOCK, *(delay for _, _, delay in arcs if 1 < delay < LONGEST_BLOCK)}
    best: tuple[tuple[int, ...], int] | None = None
    for length in sorted(lengths):
        order = _order(arcs, works=works, length=length)
        if order is None:
            break
        best = (order, length)
    if best is None:
        raise ValueError("two nips lie on one cell in a way that has no order: take finer cells round the loops")
    return best


def arcs_of(
    loops: Sequence[CellLoop],
    *,
    nips: Sequence[CellNip],
    feeds: Sequence[CellFeed],
    sheet: tuple[int, int] | None,
) -> list[Arc]:
    """Every arc between two pieces of work on the same loop; a loop with one piece of work is one arc to itself."""
    stops: dict[int, list[tuple[int, int]]] = {}
    for number, nip in enumerate(nips):
        stops.setdefault(nip.a, []).append((nip.at_a % loops[nip.a].cells, number))
        stops.setdefault(nip.b, []).append((nip.at_b % loops[nip.b].cells, number))
    for number, feed in enumerate(feeds, start=len(nips)):
        if feed.ductor is None:
            stops.setdefault(feed.loop, []).append((feed.at % loops[feed.loop].cells, number))
    if sheet is not None:
        stops.setdefault(sheet[0], []).append((sheet[1], len(nips) + len(feeds)))
    arcs: list[Arc] = []
    for loop, places in stops.items():
        places.sort()
        places.append((places[0][0] + loops[loop].cells, places[0][1]))
        arcs.extend((work, following, end - start) for (start, work), (end, following) in pairwise(places))
    return arcs


def _order(arcs: Sequence[Arc], *, works: int, length: int) -> tuple[int, ...] | None:
    before: dict[int, set[int]] = {work: set() for work in range(works)}
    for work, following, delay in arcs:
        if delay < length:
            if work == following:
                return None
            before[following].add(work)
    try:
        return tuple(TopologicalSorter(before).static_order())
    except CycleError:
        return None
