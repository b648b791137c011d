"""The other way round: where a mark of a known part will fall on this sheet and the next."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from enum import Enum

from filmsplit.faults.marks import as_marks
from filmsplit.faults.suspects import Suspect, cylinder_suspect, roller_suspect
from filmsplit.faults.travel import Walk, Window, walks_of, window_of
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import CYLINDER_IDS, Press, Unit
from filmsplit.press.asked import units_asked

MOST_SHEETS = 50


class Seen(Enum):
    """Whether paper meets the mark."""

    ON_SHEET = "on_sheet"
    BEYOND_SHEET = "beyond_sheet"
    IN_GAP = "in_gap"

    @property
    def text(self) -> str:
        return label(f"mark_seen.{self.value}")


@dataclass(frozen=True, slots=True)
class Place:
    """One mark to come: on which sheet (the first mark's is 1), how far from the lead edge, after how many turns."""

    sheet: int
    mm: float
    sd_mm: float
    turns: int
    seen: Seen


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkPlaces:
    """Every pass of a mark over some sheets, and its walk from each sheet to the next."""

    suspect: Suspect
    places: tuple[Place, ...]
    walks: tuple[Walk, ...]

    @property
    def seen(self) -> tuple[Place, ...]:
        """Only the passes that paper meets."""
        return tuple(place for place in self.places if place.seen is Seen.ON_SHEET)


def places_of(  # noqa: PLR0913 - each is asked for by name
    press: Press,
    member: str,
    *,
    first_mm: float,
    unit: str | None = None,
    sheets: int = 3,
    sheet_length_mm: float | None = None,
) -> MarkPlaces:
    """Where a mark of ``member`` (a roller id, or plate, blanket, impression) falls, first seen at ``first_mm``.

    The standard deviation is that of the repeat alone, growing with the turns; a reading's error comes on top.
    """
    home = _unit_of(press, member, unit)
    window = window_of(press, home, sheet_length_mm=sheet_length_mm)
    _check(first_mm, sheets, window)
    suspect = _suspect(press, home, member)
    places = []
    turns, travel = 0, first_mm
    while travel < sheets * window.plate_mm:
        sheet, mm = window.on_sheet(travel)
        places.append(Place(sheet + 1, mm, turns * suspect.sd_mm, turns, _seen(mm, home, window)))
        turns += 1
        travel = first_mm + turns * suspect.repeat_mm
    return MarkPlaces(
        suspect=suspect,
        places=tuple(places),
        walks=walks_of(suspect.repeat_mm, suspect.sd_mm, window.plate_mm),
    )


def _unit_of(press: Press, member: str, unit: str | None) -> Unit:
    units = units_asked(press, unit)
    homes = [one for one in units if member in one.member_ids]
    if not homes:
        names = [id for one in units for id in one.member_ids]
        nearest = difflib.get_close_matches(member, names, n=1, cutoff=0.0)[0]
        raise Refusal(Problem("mark-no-member", {"member": member, "press": press.id, "nearest": nearest}))
    if len(homes) > 1:
        found = ", ".join(one.id for one in homes)
        raise Refusal(Problem("mark-which-unit", {"member": member, "units": found}))
    return homes[0]


def _check(first_mm: float, sheets: int, window: Window) -> None:
    as_marks([first_mm])
    if first_mm > window.visible_mm:
        values = {"mm": float(first_mm), "visible_mm": window.visible_mm, "plate_mm": window.plate_mm}
        raise Refusal(Problem("mark-first-not-on-sheet", values))
    if not 1 <= sheets <= MOST_SHEETS:
        raise Refusal(Problem("mark-sheets-out-of-range", {"sheets": sheets, "most": MOST_SHEETS}))


def _suspect(press: Press, unit: Unit, member: str) -> Suspect:
    if member in CYLINDER_IDS:
        return cylinder_suspect(unit, member)
    suspect = roller_suspect(press, unit, unit.roller(member))
    if suspect is None:
        raise Refusal(Problem("mark-no-repeat-known", {"roller": member, "unit": unit.id}))
    return suspect


def _seen(mm: float, unit: Unit, window: Window) -> Seen:
    if mm <= window.visible_mm:
        return Seen.ON_SHEET
    return Seen.IN_GAP if mm > window.plate_mm - unit.cylinders.plate.gap_mm else Seen.BEYOND_SHEET
