"""From a ruler on a spoiled sheet to the roller, and back."""

from __future__ import annotations

from collections.abc import Sequence

from filmsplit.actions.find import find_press
from filmsplit.faults.marks import Reading
from filmsplit.faults.match import match_marks
from filmsplit.faults.places import MarkPlaces, places_of
from filmsplit.faults.result import MarkMatch
from filmsplit.press import Press


def match(
    reference: str,
    readings: Sequence[Reading],
    *,
    unit: str | None = None,
    reading_sd_mm: float = 0.5,
    sheet_length_mm: float | None = None,
) -> tuple[Press, MarkMatch]:
    """The press meant by ``reference`` and what the marks say about it."""
    press = find_press(reference).press
    found = match_marks(press, readings, unit=unit, reading_sd_mm=reading_sd_mm, sheet_length_mm=sheet_length_mm)
    return press, found


def places(reference: str, member: str, *, first_mm: float, sheets: int, unit: str | None = None) -> MarkPlaces:
    """Where a mark of ``member`` that first falls at ``first_mm`` comes again, sheet by sheet."""
    return places_of(find_press(reference).press, member, first_mm=first_mm, sheets=sheets, unit=unit)
