"""Marks as measured on one sheet or on sheets printed one after another: taken in, checked, put in order."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from filmsplit.faults.travel import Window
from filmsplit.messages import Problem, Refusal

MOST_MARKS = 60
"""More than anybody measures by hand; bounds the time of an answer."""

MOST_SHEETS = 40
"""Sheets between the first and the last: further apart nobody can count on having kept them all in order."""

SAME_PLACE_MM = 0.05
"""Nearer than a rule can be read: the same mark written twice."""

LOWEST_SD_MM, HIGHEST_SD_MM = 0.05, 10.0


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """One mark: on which sheet (any whole number; only the difference counts) and how far from the lead edge."""

    sheet: int
    mm: float


Reading = float | tuple[int, float]
"""A distance on the one sheet, or (sheet, distance)."""


def as_marks(readings: Iterable[Reading]) -> tuple[Mark, ...]:
    """Readings as marks in order of travel; refuses what is no distance, with everything that is wrong."""
    given = [_split(reading) for reading in readings]
    problems = [problem for sheet, mm in given for problem in _problems_of(sheet, mm)]
    if not given:
        problems.append(Problem("marks-none"))
    if len(given) > MOST_MARKS:
        problems.append(Problem("marks-too-many", {"count": len(given), "most": MOST_MARKS}))
    if problems:
        raise Refusal(problems)
    marks = tuple(sorted(Mark(int(sheet), float(mm)) for sheet, mm in given))
    span = marks[-1].sheet - marks[0].sheet
    if span > MOST_SHEETS:
        raise Refusal(Problem("marks-sheets-apart", {"sheets": span, "most": MOST_SHEETS}))
    return marks


def checked_marks(
    readings: Iterable[Reading], window: Window, *, reading_sd_mm: float
) -> tuple[tuple[Mark, ...], tuple[Problem, ...]]:
    """The marks to work with and what is worth knowing about them; refuses those no sheet of this press can show."""
    if not (LOWEST_SD_MM <= reading_sd_mm <= HIGHEST_SD_MM):
        values = {"sd_mm": float(reading_sd_mm), "low_mm": LOWEST_SD_MM, "high_mm": HIGHEST_SD_MM}
        raise Refusal(Problem("reading-error-out-of-range", values))
    marks = as_marks(readings)
    beyond = [mark for mark in marks if mark.mm > window.plate_mm]
    if beyond:
        raise Refusal(Problem("mark-beyond-plate", _beyond(mark, window)) for mark in beyond)
    kept, repeated = _without_repeats(marks)
    outside = [mark for mark in kept if mark.mm > window.visible_mm]
    notes = [Problem("mark-twice", {"mm": mark.mm}) for mark in repeated]
    notes += [Problem("mark-beyond-sheet", _beyond(mark, window)) for mark in outside]
    return kept, tuple(notes)


def _split(reading: Reading) -> tuple[float, float]:
    return reading if isinstance(reading, tuple) else (0, reading)


def _problems_of(sheet: float, mm: float) -> list[Problem]:
    problems = []
    if not math.isfinite(mm):
        problems.append(Problem("mark-not-a-number", {"mm": str(mm)}))
    elif mm < 0:
        problems.append(Problem("mark-negative", {"mm": float(mm)}))
    if not math.isfinite(sheet) or sheet != int(sheet):
        problems.append(Problem("mark-sheet-not-whole", {"sheet": str(sheet)}))
    return problems


def _without_repeats(marks: tuple[Mark, ...]) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    kept: list[Mark] = []
    repeated: list[Mark] = []
    for mark in marks:
        same = kept and mark.sheet == kept[-1].sheet and mark.mm - kept[-1].mm < SAME_PLACE_MM
        (repeated if same else kept).append(mark)
    return tuple(kept), tuple(repeated)


def _beyond(mark: Mark, window: Window) -> dict[str, object]:
    return {"mm": mark.mm, "visible_mm": window.visible_mm, "plate_mm": window.plate_mm}
