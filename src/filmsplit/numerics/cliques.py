"""Largest sets of things that all agree with one another, where agreeing is not passed on from one to the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set


def maximal_cliques(neighbours: Mapping[int, Set[int]]) -> Iterator[tuple[int, ...]]:
    """Every set of two or more members that are all neighbours and that no other member could join.

    Bron and Kerbosch (1973) with a pivot, one clique at a time, so that the caller can stop.
    """
    for clique in _grow(neighbours, set(), candidates=set(neighbours), done=set()):
        if len(clique) > 1:
            yield tuple(sorted(clique))


def _grow(
    neighbours: Mapping[int, Set[int]], clique: set[int], *, candidates: set[int], done: set[int]
) -> Iterator[set[int]]:
    if not candidates and not done:
        yield clique
        return
    pivot = max(sorted(candidates | done), key=lambda one: len(candidates & neighbours[one]))
    for one in sorted(candidates - neighbours[pivot]):
        beside = neighbours[one]
        yield from _grow(neighbours, clique | {one}, candidates=candidates & beside, done=done & beside)
        candidates = candidates - {one}
        done = done | {one}
