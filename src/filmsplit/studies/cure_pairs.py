"""Cures combined: each of the best with every other kind, in the order that is better."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from filmsplit.studies.cure_list import Listing
from filmsplit.studies.cures import Cure, CureKind, Cures, Trial, Tried, gained, sorted_by_rest

BASES = 2
"""So many of the best, each of another kind, are combined with every other kind."""
TURNS = frozenset({CureKind.TURNED, CureKind.QUARTER})
LESS = 0.96
"""A pair has to leave so much of what its better half leaves, or it is not worth the second thing to do."""
Name = tuple[CureKind, str, float]
Told = Callable[[int], None]
"""Told how many pairs were looked at; nobody knows beforehand how many there are."""
ALONE = frozenset({CureKind.PASSES, CureKind.PRESS})
"""Nothing is done on top of these."""
ON_IMAGE = frozenset({CureKind.TURNED, CureKind.QUARTER, CureKind.SHIFTED, CureKind.BAR, CureKind.SIDE_BAR})
"""Of two of these the order matters: a bar at the tail is at the lead edge once the job is turned."""


def with_pairs(found: Cures, listing: Listing, *, trial: Trial, told: Told | None = None) -> Cures:
    """The cures with those pairs among them that leave clearly less than either of their halves."""
    if found.before <= 0:
        return found
    alone = {_name(each.cure): each.strongest for each in found.tried}
    tried: dict[tuple[frozenset[Name], float], Tried] = {}
    for number, pair in enumerate(_pairs(found, listing, trial=trial), start=1):
        if told is not None:
            told(number)
        names, left = [_name(part) for part in pair.parts], trial.strongest(pair.settings)
        if left is not None and left <= LESS * min(alone.get(name, found.before) for name in names):
            # the same two in another order are told once, unless the order matters
            tried.setdefault(
                (frozenset(names), left), Tried(cure=pair, strongest=left, gain=gained(found.before, left))
            )
    return replace(found, tried=sorted_by_rest((*found.tried, *tried.values())))


def _name(cure: Cure) -> Name:
    return cure.kind, cure.what, cure.amount


def _pairs(found: Cures, listing: Listing, *, trial: Trial) -> Iterator[Cure]:
    """Every other kind on top of each of the best; what is done to the image also the other way round; and every bar
    that a turn brings to the lead edge, as neither alone tells what it does there."""
    bases = _bases(found)
    for first in (each.cure for each in found.tried if each.cure.kind not in ALONE):
        for more in _on(first, listing, trial):
            if more.kind is not first.kind and (_name(first) in bases or _by_order(first, more, bases)):
                yield _pair(first, more)


def _bases(found: Cures) -> list[Name]:
    """The best, each of another kind."""
    best: dict[CureKind, Name] = {}
    for each in found.tried:
        if each.cure.kind not in ALONE:
            best.setdefault(each.cure.kind, _name(each.cure))
    return list(best.values())[:BASES]


def _by_order(first: Cure, second: Cure, bases: list[Name]) -> bool:
    """Whether a pair is to be tried for its order: a best one done to an image that was changed, a bar turned."""
    if not {first.kind, second.kind} <= ON_IMAGE:
        return False
    return _name(second) in bases or (first.kind is CureKind.BAR and second.kind in TURNS)


def _on(base: Cure, listing: Listing, trial: Trial) -> list[Cure]:
    """What can be done on top of one."""
    left = [trial.strongest_of(each) or 0.0 for each in base.settings]
    return replace(listing, job=base.settings, worst=left.index(max(left))).all()[0]


def _pair(first: Cure, second: Cure) -> Cure:
    return Cure(
        kind=CureKind.BOTH,
        settings=second.settings,
        ink_mm2=first.ink_mm2 + second.ink_mm2,
        press=second.press,
        parts=(first, second),
    )
