"""Travel and sheets: what part of the travel a sheet shows, and how a repeat walks from sheet to sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press import Press, Unit

_WHOLE = 1e-9
"""A ratio this near a whole number is whole: gearing written in decimals leaves no more than this."""


@dataclass(frozen=True, slots=True)
class Window:
    """One plate turn as a sheet shows it: ``plate_mm`` of travel a turn, the first ``visible_mm`` of it on paper.

    Travel 0 is the plate's leading image edge; sheet ``n`` begins at travel ``n * plate_mm``.
    """

    plate_mm: float
    visible_mm: float

    def travel_mm(self, sheet: int, mm: float) -> float:
        return sheet * self.plate_mm + mm

    def on_sheet(self, travel_mm: float) -> tuple[int, float]:
        """The sheet (counted from 0) and the place on it where ``travel_mm`` falls, seen or not."""
        sheet = math.floor(travel_mm / self.plate_mm)
        return sheet, travel_mm - sheet * self.plate_mm

    def shows(self, travel_mm: float, *, margin_mm: float = 0.0) -> bool:
        """Whether paper meets that place, at least ``margin_mm`` inside both ends of the sheet."""
        _, mm = self.on_sheet(travel_mm)
        return margin_mm <= mm <= self.visible_mm - margin_mm


@dataclass(frozen=True, slots=True)
class Walk:
    """After ``turns`` turns and ``sheets`` sheets the mark stands ``shift_mm`` further from the lead edge."""

    turns: int
    sheets: int
    shift_mm: float
    sd_mm: float


def window_of(press: Press, unit: Unit, *, sheet_length_mm: float | None = None) -> Window:
    """What a sheet of ``sheet_length_mm`` (the longest, if not told) shows of a turn of this unit's plate."""
    plate = unit.cylinders.plate
    longest_mm = press.sheet_length_mm if sheet_length_mm is None else sheet_length_mm
    return Window(plate.circumference_mm, min(longest_mm, plate.circumference_mm - plate.gap_mm))


def walks_of(repeat_mm: float, sd_mm: float, plate_mm: float) -> tuple[Walk, ...]:
    """The walk told both ways: short of the next sheet's place and past it; one walk where the mark stands still."""
    ratio = plate_mm / repeat_mm if repeat_mm <= plate_mm else repeat_mm / plate_mm
    few = round(ratio) if abs(ratio - round(ratio)) < _WHOLE * ratio else math.floor(ratio)
    counts = (few,) if abs(ratio - few) < _WHOLE * ratio else (few, few + 1)
    if repeat_mm <= plate_mm:
        return tuple(Walk(turns, 1, turns * repeat_mm - plate_mm, turns * sd_mm) for turns in counts)
    return tuple(Walk(1, sheets, repeat_mm - sheets * plate_mm, sd_mm) for sheets in counts)
