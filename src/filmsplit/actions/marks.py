"""From a ruler on a spoiled sheet to the roller, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.actions.find import find_press
from filmsplit.faults.marks import Reading
from filmsplit.faults.match import match_marks
from filmsplit.faults.places import MarkPlaces, places_of
from filmsplit.faults.result import MarkMatch
from filmsplit.press import Press
from filmsplit.press.unknowns import RankedUnknown, ranked_unknowns


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchedMarks:
    """What the marks say about a press, and the assumed values that this answer rests on, the weightiest first."""

    press: Press
    match: MarkMatch
    unknowns: tuple[RankedUnknown, ...]


def match(
    reference: str,
    readings: Sequence[Reading],
    *,
    unit: str | None = None,
    reading_sd_mm: float = 0.5,
    sheet_length_mm: float | None = None,
) -> MatchedMarks:
    """What the marks say about the press meant by ``reference``."""
    press = find_press(reference).press
    found = match_marks(press, readings, unit=unit, reading_sd_mm=reading_sd_mm, sheet_length_mm=sheet_length_mm)
    suspected = {(one.suspect.unit, member) for one in found.ranked for member in one.suspect.members}
    counting = ranked_unknowns(press, purpose="marks")
    unknowns = tuple(each for each in counting if (each.path[1], each.path[3]) in suspected)
    return MatchedMarks(press=press, match=found, unknowns=unknowns)


def places(reference: str, member: str, *, first_mm: float, sheets: int, unit: str | None = None) -> MarkPlaces:
    """Where a mark of ``member`` that first falls at ``first_mm`` comes again, sheet by sheet."""
    return places_of(find_press(reference).press, member, first_mm=first_mm, sheets=sheets, unit=unit)
