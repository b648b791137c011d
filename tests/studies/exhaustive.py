"""Every cure, and every other kind of cure on top of every cure: what the best of them leaves."""

from __future__ import annotations

from dataclasses import replace

from filmsplit.studies.cure_list import Listing
from filmsplit.studies.cure_pairs import ALONE
from filmsplit.studies.cures import CureKind, Trial

ON_ROLLERS = (CureKind.FORM_OFF, CureKind.STROKE, CureKind.TIMING)
"""Nothing done to the image changes what these do: one order is enough."""


def exhaustive(listing: Listing, trial: Trial) -> tuple[float, int]:
    """The strongest ghost that the best of everything leaves, and how many were tried. The job has one ink."""
    left = []
    for cure in listing.all()[0]:
        left.append(trial.strongest(cure.settings))
        if cure.kind in ALONE:
            continue
        for more in replace(listing, job=cure.settings).all()[0]:
            if more.kind is not cure.kind and not _done_before(cure.kind, more.kind):
                left.append(trial.strongest(more.settings))
    return min(each for each in left if each is not None), len(left)


def _done_before(first: CureKind, second: CureKind) -> bool:
    """Whether the same pair is tried in another order."""
    if first not in ON_ROLLERS:
        return False
    return second not in ON_ROLLERS or ON_ROLLERS.index(second) < ON_ROLLERS.index(first)
