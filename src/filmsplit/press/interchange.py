"""Which rollers can stand in for each other, within one press and between presses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from itertools import combinations, islice

from filmsplit.numerics.cliques import maximal_cliques
from filmsplit.press.fits import (
    DIAMETER,
    Candidate,
    Difference,
    InterchangeTolerances,
    RollerPlace,
    candidate,
    differences,
    unsure_of,
)
from filmsplit.press.press import Press

NEAR_MISS_FACTOR = 5.0
"""A pair is a near miss while it differs in one thing only, by at most this many times what is allowed."""

MOST_GROUPS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class InterchangeGroup:
    """Rollers of which each can stand in for every other, as far as is known.

    ``check`` names what nobody has measured on at least one of them (keys of labels): with anything in it the answer
    is "may interchange, check these", not a yes. A roller may stand in several groups, since a fit is not passed on.
    """

    members: tuple[RollerPlace, ...]
    check: tuple[str, ...]

    @property
    def certain(self) -> bool:
        return not self.check

    @property
    def between_presses(self) -> bool:
        return len({member.press for member in self.members}) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class NearMiss:
    """Two rollers that nearly interchange, and what they differ in."""

    a: RollerPlace
    b: RollerPlace
    difference: Difference


@dataclass(frozen=True, slots=True, kw_only=True)
class Interchange:
    """The answer for a set of presses, with the tolerances it holds for.

    ``unmeasured`` rollers are in no group: their diameter is unknown, so nothing can be said. ``complete`` is false
    where there were more groups than are listed.
    """

    groups: tuple[InterchangeGroup, ...]
    near_misses: tuple[NearMiss, ...]
    unmeasured: tuple[RollerPlace, ...]
    tolerances: InterchangeTolerances
    complete: bool


def interchange_groups(presses: Iterable[Press], *, tolerances: InterchangeTolerances | None = None) -> Interchange:
    """Groups of rollers that interchange within and between ``presses``, and the pairs that just fail to."""
    allowed = tolerances or InterchangeTolerances()
    everyone = [
        candidate(press, unit.id, roller) for press in presses for unit in press.units for roller in unit.rollers
    ]
    known = [one for one in everyone if DIAMETER not in one.unknown]
    sure, perhaps, misses = _sort_pairs(known, allowed)
    certain, all_certain = _groups(known, sure)
    possible, all_possible = _groups(known, perhaps)
    in_certain = [set(group.members) for group in certain]
    open_ones = [group for group in possible if not any(set(group.members) <= members for members in in_certain)]
    return Interchange(
        groups=(*certain, *open_ones),
        near_misses=misses,
        unmeasured=tuple(one.place for one in everyone if DIAMETER in one.unknown),
        tolerances=allowed,
        complete=all_certain and all_possible,
    )


Fits = Mapping[int, Set[int]]


def _sort_pairs(known: list[Candidate], allowed: InterchangeTolerances) -> tuple[Fits, Fits, tuple[NearMiss, ...]]:
    """Who fits whom for sure, who fits whom perhaps (the sure ones among them), and who nearly does."""
    sure: dict[int, set[int]] = {number: set() for number in range(len(known))}
    perhaps: dict[int, set[int]] = {number: set() for number in range(len(known))}
    misses = []
    for (m, a), (n, b) in combinations(enumerate(known), 2):
        off = differences(a, b, allowed)
        if len(off) == 1 and _is_near(off[0]):
            misses.append(NearMiss(a=a.place, b=b.place, difference=off[0]))
        for fits in (perhaps, sure) if not unsure_of(a, b) else (perhaps,):
            if not off:
                fits[m].add(n)
                fits[n].add(m)
    return sure, perhaps, tuple(misses)


def _is_near(off: Difference) -> bool:
    return off.by is None or off.allowed is None or abs(off.by) <= NEAR_MISS_FACTOR * off.allowed


def _groups(known: list[Candidate], fits: Fits) -> tuple[list[InterchangeGroup], bool]:
    """The groups, the largest first, and whether that is all of them."""
    cliques = list(islice(maximal_cliques(fits), MOST_GROUPS + 1))
    groups = [_group([known[number] for number in clique]) for clique in cliques[:MOST_GROUPS]]
    groups.sort(key=lambda group: (-len(group.members), group.members))
    return groups, len(cliques) <= MOST_GROUPS


def _group(members: list[Candidate]) -> InterchangeGroup:
    check = frozenset[str]().union(*(unsure_of(one, one) for one in members))
    return InterchangeGroup(members=tuple(one.place for one in members), check=tuple(sorted(check)))
