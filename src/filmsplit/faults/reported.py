"""Which of all the marks on the sheets a person measures: the chance of that choice, given where marks would be."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmsplit.faults import priors
from filmsplit.faults.evidence import Counts
from filmsplit.faults.series import Series
from filmsplit.faults.travel import Window

MOST_MISSED = 12
"""Marks passed over between the first and the last beyond which an explanation is dropped (chance 1e-11)."""

_EDGE_MM = 3.0
"""So near an end of the sheet a missing mark is not held against a suspect."""


def log_seen(one: Series, counts: Counts, window: Window) -> float | None:
    """Log chance that these of all marks were measured: some passed over, or one a sheet followed on purpose."""
    missed = priors.MISSED_MARK.weight
    found = len(counts) - 1
    passed = _passed_over(one.travel, counts, window)
    all_read = 0.0 if passed > MOST_MISSED else (1 - missed) ** found * missed**passed
    if one.is_one_a_sheet:
        followed = priors.FOLLOWED_MARK.weight
        step = (one.travel[-1] - one.travel[0]) / counts[-1]
        choice = max(1.0, window.visible_mm / step)
        skipped = _sheets_skipped(one, step, window)
        all_read = (1 - followed) * all_read + followed * choice**-found * missed**skipped
    return math.log(all_read) if all_read > 0 else None


def _passed_over(travel: Sequence[float], counts: Counts, window: Window) -> int:
    """Marks between the first and the last that paper would have shown and nobody measured."""
    passed = counts[-1] - len(counts) + 1
    if not passed or window.on_sheet(travel[0])[0] == window.on_sheet(travel[-1])[0]:
        return passed
    return _missed_on_sheets(travel, counts, window)


def _sheets_skipped(one: Series, step: float, window: Window) -> int:
    """Sheets between the first and the last that would have shown a mark and have none measured."""
    measured = {mark.sheet for mark in one.marks}
    first, last_mm = one.travel[0], window.visible_mm - _EDGE_MM
    skipped = 0
    for sheet in range(one.marks[0].sheet + 1, one.marks[-1].sheet):
        begins = sheet * window.plate_mm
        place = first + math.ceil((begins + _EDGE_MM - first) / step) * step
        skipped += place - begins <= last_mm and sheet not in measured
    return skipped


def _missed_on_sheets(travel: Sequence[float], counts: Counts, window: Window) -> int:
    first, last_mm = travel[0], window.visible_mm - _EDGE_MM
    step = (travel[-1] - first) / counts[-1]
    measured = set(counts)
    missed = 0
    for count in range(1, counts[-1]):
        if _EDGE_MM <= (first + count * step) % window.plate_mm <= last_mm and count not in measured:
            missed += 1
            if missed > MOST_MISSED:
                break
    return missed
