"""How far apart two suspects put the same marks, and the marks still to come."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.faults.evidence import Fit, fit
from filmsplit.faults.result import RankedSuspect
from filmsplit.faults.travel import Window

_SHEETS_AHEAD = 3
_CLEAR_SD = 3.0
_INSIDE_MM = 5.0
"""A mark foretold nearer than this to an end of the sheet is no test."""


@dataclass(frozen=True, slots=True)
class Foretold:
    """The next place worth looking at: where A puts a mark, and where B's nearest on that sheet stands, if any."""

    sheets_on: int
    a_mm: float
    b_mm: float | None
    separation_sd: float


def separation_sd(one: RankedSuspect, other: RankedSuspect, window: Window, *, reading_sd_mm: float) -> float:
    """Largest difference of the expected distances, in combined standard deviations: two repeats, two readings."""
    ours, theirs = _expected(one, window), _expected(other, window)
    shared = [mark for mark in ours if mark in theirs]
    if len(shared) < 2:
        return math.inf
    first = shared[0]
    return max(
        abs((ours[mark][0] - ours[first][0]) - (theirs[mark][0] - theirs[first][0]))
        / math.sqrt(
            (ours[mark][1] - ours[first][1]) ** 2 + (theirs[mark][1] - theirs[first][1]) ** 2 + 2 * reading_sd_mm**2
        )
        for mark in shared[1:]
    )


def foretell(one: RankedSuspect, other: RankedSuspect, window: Window, *, reading_sd_mm: float) -> Foretold | None:
    """The earliest mark of ``one`` to come that ``other`` would put clearly elsewhere; failing that, the clearest."""
    found = list(_ahead(one, other, window=window, reading_sd_mm=reading_sd_mm))
    clear = [place for place in found if place.separation_sd >= _CLEAR_SD]
    if clear:
        return clear[0]
    return max(found, key=lambda place: place.separation_sd, default=None)


def _expected(one: RankedSuspect, window: Window) -> dict[tuple[int, float], tuple[float, float]]:
    """By measured mark: its expected place from the first mark used, and the standard deviation that grows with it."""
    sheet = max(mark.sheet for mark in one.marks)
    return {
        (_measured_sheet(one, mark.sheet, sheet), mark.mm): (
            count * one.expected_mm - (mark.sheet - _measured_sheet(one, mark.sheet, sheet)) * window.plate_mm,
            count * one.expected_sd_mm,
        )
        for mark, count in zip(one.marks, one.counts, strict=True)
    }


def _measured_sheet(one: RankedSuspect, sheet: int, last: int) -> int:
    """Traces of the sheet before were measured on the sheet itself."""
    return last if one.traces else sheet


def _ahead(one: RankedSuspect, other: RankedSuspect, *, window: Window, reading_sd_mm: float) -> Iterator[Foretold]:
    ours, theirs = _drawn(one, window, reading_sd_mm), _drawn(other, window, reading_sd_mm)
    last_sheet = max(mark.sheet for mark in one.marks)
    last = max(window.travel_mm(mark.sheet, mark.mm) for mark in (*one.marks, *other.marks))
    end = window.travel_mm(last_sheet + _SHEETS_AHEAD + 1, 0.0)
    count = one.counts[-1] + 1
    while (place := ours.place_mm(count)) < end:
        if place > last and window.shows(place, margin_mm=_INSIDE_MM):
            sd_mm = math.hypot(ours.place_sd_mm(count), reading_sd_mm)
            yield _compared(place, sd_mm, theirs, window=window, last_sheet=last_sheet)
        count += 1


def _compared(place: float, sd_mm: float, theirs: Fit, *, window: Window, last_sheet: int) -> Foretold:
    sheet, mm = window.on_sheet(place)
    nearest = round(theirs.middle_count + (place - theirs.middle_mm) / theirs.repeat_mm)
    there = theirs.place_mm(nearest)
    sd = math.hypot(sd_mm, theirs.place_sd_mm(nearest))
    b_sheet, b_mm = window.on_sheet(there)
    seen = b_sheet == sheet and window.shows(there)
    return Foretold(sheet - last_sheet, mm, b_mm if seen else None, abs(place - there) / sd)


def _drawn(one: RankedSuspect, window: Window, reading_sd_mm: float) -> Fit:
    travel = [window.travel_mm(mark.sheet, mark.mm) for mark in one.marks]
    return fit(travel, one.counts, reading_sd_mm=reading_sd_mm, repeat_mm=one.expected_mm, sd_mm=one.expected_sd_mm)
