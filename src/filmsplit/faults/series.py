"""Marks laid out along the travel: as they are, with one set aside, or some taken for traces of the sheet before."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from filmsplit.faults import priors
from filmsplit.faults.marks import Mark
from filmsplit.faults.travel import Window

_STRAYS_FROM, _STRAYS_TO = 4, 12
"""Numbers of marks in which a stray is looked for: fewer cannot spare one, in more it is seen by eye."""


@dataclass(frozen=True, slots=True)
class Series:
    """The marks one explanation uses, in order of travel, and the one it sets aside as a stray."""

    marks: tuple[Mark, ...]
    travel: tuple[float, ...]
    stray: Mark | None
    log_weight: float

    @property
    def is_one_a_sheet(self) -> bool:
        """Each mark from a sheet of its own, as when one mark is followed on its walk."""
        return len({mark.sheet for mark in self.marks}) == len(self.marks)


def straight(marks: Sequence[Mark], window: Window) -> Iterator[Series]:
    """The marks as they are; from four marks on, also with each in turn set aside."""
    travel = tuple(window.travel_mm(mark.sheet, mark.mm) for mark in marks)
    if not _STRAYS_FROM <= len(marks) <= _STRAYS_TO:
        yield Series(tuple(marks), travel, None, 0.0)
        return
    stray = priors.STRAY_MARK.weight
    yield Series(tuple(marks), travel, None, math.log(1 - stray))
    log_weight = math.log(stray / len(marks) / window.visible_mm)
    for index, mark in enumerate(marks):
        yield Series((*marks[:index], *marks[index + 1 :]), travel[:index] + travel[index + 1 :], mark, log_weight)


def folded(marks: Sequence[Mark], window: Window, repeat_mm: float) -> Iterator[Series]:
    """Marks of one sheet, some of them traces of the sheet before: each put where the repeat fits it better."""
    if marks[0].sheet != marks[-1].sheet or len(marks) < 2:
        return
    log_weight = -math.log(2 ** len(marks) - 2)
    for first_before in (False, True):
        anchor = marks[0].mm - (window.plate_mm if first_before else 0.0)
        placed: list[bool] = [
            first_before,
            *(_fits_before(mark.mm, anchor, window=window, repeat_mm=repeat_mm) for mark in marks[1:]),
        ]
        if len(set(placed)) < 2:
            continue
        moved = sorted(Mark(mark.sheet - before, mark.mm) for mark, before in zip(marks, placed, strict=True))
        travel = tuple(window.travel_mm(mark.sheet, mark.mm) for mark in moved)
        yield Series(tuple(moved), travel, None, log_weight)


def _fits_before(mm: float, anchor: float, *, window: Window, repeat_mm: float) -> bool:
    return _off(mm - window.plate_mm - anchor, repeat_mm) < _off(mm - anchor, repeat_mm)


def _off(distance_mm: float, repeat_mm: float) -> float:
    return abs(distance_mm - round(distance_mm / repeat_mm) * repeat_mm)
