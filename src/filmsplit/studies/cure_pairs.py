"""Cures combined: the best one, and each other that helped, done on top of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmsplit.studies.cure_list import Listing
from filmsplit.studies.cures import Cure, CureKind, Cures, Trial, Tried, gained, sorted_by_rest

HELPS = 0.02
"""A cure that takes less than this part of a ghost is not combined with others."""
MOST_PAIRS = 4


def with_pairs(found: Cures, listing: Listing, *, trial: Trial) -> Cures:
    """The cures with pairs among them: the best one with others of another kind that helped by themselves."""
    best = next((each for each in found.tried if each.gain >= HELPS and _can_go_on(each.cure, listing)), None)
    if best is None:
        return found
    tried = []
    for pair in _pairs(best, found, listing, trial=trial):
        left = trial.strongest(pair.settings)
        if left is not None and left < best.strongest:
            tried.append(Tried(cure=pair, strongest=left, gain=gained(found.before, left)))
    return replace(found, tried=sorted_by_rest((*found.tried, *tried)))


def _can_go_on(cure: Cure, listing: Listing) -> bool:
    """Whether a job is one setting an ink still, so that other cures can be done to it."""
    return len(cure.settings) == len(listing.job)


def _pairs(best: Tried, found: Cures, listing: Listing, *, trial: Trial) -> Iterator[Cure]:
    helped = [each.cure for each in found.tried if each.gain >= HELPS and each.cure.kind is not best.cure.kind]
    wanted = [(each.kind, each.what, each.amount) for each in helped][:MOST_PAIRS]
    worst = max(range(len(best.cure.settings)), key=lambda place: trial.strongest_of(best.cure.settings[place]) or 0.0)
    more, _ = replace(listing, job=best.cure.settings, worst=worst).all()
    for cure in more:
        if (cure.kind, cure.what, cure.amount) in wanted:
            yield Cure(
                kind=CureKind.BOTH,
                settings=cure.settings,
                ink_mm2=best.cure.ink_mm2 + cure.ink_mm2,
                parts=(best.cure, cure),
            )
