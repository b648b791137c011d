"""Glaze or true hardening: read, deglaze, let it rest, read again. What came off was skin."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from filmsplit.condition.measuring import change
from filmsplit.condition.readings import HardnessReading, RollerHistory
from filmsplit.condition.words import EventKind

BEFORE_DAYS, AFTER_DAYS = 60, 30
"""A pair counts where it was read within so many days before and after the deglazing (invented default)."""

REAL_CHANGE = 2.0
"""A fall of so many deviations is no chance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Skin:
    """What is known of a skin on a cover.

    ``fell_shore_a``: by how much the reading fell at the last deglazing that was read before and after, ``sigma``:
    the deviation of that. ``is_open``: nobody has read it since it was last deglazed, or nobody ever deglazed it, or it
    looks shiny again: nothing can be said of the rubber below.
    """

    fell_shore_a: float | None
    sigma: float | None
    is_open: bool

    @property
    def was_glaze(self) -> bool:
        """The last deglazing took off more than chance."""
        return self.fell_shore_a is not None and self.sigma is not None and self.fell_shore_a > REAL_CHANGE * self.sigma


def skin_of(history: RollerHistory) -> Skin:
    """What the readings round the last deglazing say, on the cover now on the roller."""
    readings = history.hardness_of_cover()
    deglazed = history.last(EventKind.DEGLAZED)
    if not readings or deglazed is None:
        return Skin(fell_shore_a=None, sigma=None, is_open=True)
    before = [each for each in readings if 0 < (deglazed - each.on).days <= BEFORE_DAYS]
    after = [each for each in readings if 0 <= (each.on - deglazed).days <= AFTER_DAYS]
    is_open = not _is_bare(readings[-1], deglazed=deglazed)
    if not before or not after:
        return Skin(fell_shore_a=None, sigma=None, is_open=is_open)
    rose, sigma = change(before[-1], after[0])
    return Skin(fell_shore_a=-rose, sigma=sigma, is_open=is_open)


def _is_bare(last: HardnessReading, *, deglazed: date) -> bool:
    """The last reading is of the rubber itself: the face looked matt, or it had just been deglazed."""
    if last.grade is not None:
        return not last.grade.is_glazed
    return 0 <= (last.on - deglazed).days <= AFTER_DAYS
