"""Cures combined: each of the best, and every other kind on top of it, first tried on longer cells."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmsplit.studies.cure_list import Listing
from filmsplit.studies.cures import Cure, CureKind, Cures, Trial, Tried, gained, sorted_by_rest

BASES = 3
"""Others are done on top of so many of the best, each of another kind."""
MOST_TRIED = 4
"""So many of the pairs that look best on longer cells are tried on those of the job."""
ALONE = frozenset({CureKind.PASSES, CureKind.PRESS, CureKind.BOTH})
"""Nothing is done on top of these."""


def with_pairs(found: Cures, listing: Listing, *, trial: Trial) -> Cures:
    """The cures with those pairs among them that leave less than either of their halves."""
    if found.before <= 0:
        return found
    quick = trial.coarser(listing.setting)
    looked = [(quick.strongest(pair.settings), pair) for pair in _pairs(found, listing, trial=trial)]
    known = sorted(((left, pair) for left, pair in looked if left is not None), key=lambda each: each[0])
    alone = {_name(each.cure): each.strongest for each in found.tried}
    tried = []
    for _, pair in known[:MOST_TRIED]:
        left = trial.strongest(pair.settings)
        if left is not None and left < min(alone.get(_name(part), found.before) for part in pair.parts):
            tried.append(Tried(cure=pair, strongest=left, gain=gained(found.before, left)))
    return replace(found, tried=sorted_by_rest((*found.tried, *tried)))


def _name(cure: Cure) -> tuple[CureKind, str, float]:
    return cure.kind, cure.what, cure.amount


def _pairs(found: Cures, listing: Listing, *, trial: Trial) -> Iterator[Cure]:
    """Every other kind on top of each of the best; of two that are among the best only the better first."""
    bases: list[Cure] = []
    for each in found.tried:
        if each.cure.kind not in {*ALONE, *(base.kind for base in bases)} and len(bases) < BASES:
            bases.append(each.cure)
    done: set[CureKind] = set()
    for base in bases:
        done.add(base.kind)
        left = [trial.strongest_of(each) or 0.0 for each in base.settings]
        for more in replace(listing, job=base.settings, worst=left.index(max(left))).all()[0]:
            if more.kind not in done:
                yield Cure(
                    kind=CureKind.BOTH,
                    settings=more.settings,
                    ink_mm2=base.ink_mm2 + more.ink_mm2,
                    press=more.press,
                    parts=(base, more),
                )
