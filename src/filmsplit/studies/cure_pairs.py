"""Cures combined: each of the best with every other kind, in the order that is better."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmsplit.studies.cure_list import Listing
from filmsplit.studies.cures import Cure, CureKind, Cures, Trial, Tried, gained, sorted_by_rest

BASES = 2
"""So many of the best, each of another kind, are combined with every other kind."""
LESS = 0.96
"""A pair has to leave so much of what its better half leaves, or it is not worth the second thing to do."""
ALONE = frozenset({CureKind.PASSES, CureKind.PRESS})
"""Nothing is done on top of these."""
ON_IMAGE = frozenset({CureKind.TURNED, CureKind.QUARTER, CureKind.SHIFTED, CureKind.BAR, CureKind.SIDE_BAR})
"""Of two of these the order matters: a bar at the tail is at the lead edge once the job is turned."""


def with_pairs(found: Cures, listing: Listing, *, trial: Trial) -> Cures:
    """The cures with those pairs among them that leave clearly less than either of their halves."""
    if found.before <= 0:
        return found
    alone = {_name(each.cure): each.strongest for each in found.tried}
    tried = []
    for pair in _pairs(found, listing, trial=trial):
        left = trial.strongest(pair.settings)
        if left is not None and left <= LESS * min(alone.get(_name(part), found.before) for part in pair.parts):
            tried.append(Tried(cure=pair, strongest=left, gain=gained(found.before, left)))
    return replace(found, tried=sorted_by_rest((*found.tried, *tried)))


def _name(cure: Cure) -> tuple[CureKind, str, float]:
    return cure.kind, cure.what, cure.amount


def _pairs(found: Cures, listing: Listing, *, trial: Trial) -> Iterator[Cure]:
    """Every other kind on top of each of the best, and what is done to the image also the other way round."""
    bases: list[Cure] = []
    for each in found.tried:
        if each.cure.kind not in {*ALONE, *(base.kind for base in bases)} and len(bases) < BASES:
            bases.append(each.cure)
    done: set[CureKind] = set()
    for base in bases:
        done.add(base.kind)
        yield from (_pair(base, more) for more in _on(base, listing, trial) if more.kind not in done)
        if base.kind in ON_IMAGE:
            for first in (each.cure for each in found.tried):
                if first.kind in ON_IMAGE - done:
                    again = (each for each in _on(first, listing, trial) if _name(each) == _name(base))
                    yield from (_pair(first, more) for more in again)


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
