"""What an entry says, and where a roller is, as a person reads it in a terminal and on paper."""

from __future__ import annotations

from collections.abc import Mapping

from filmsplit.messages import label, numbers_read, unit_read
from filmsplit.records.entries import Entry
from filmsplit.records.hardness import Hardness
from filmsplit.records.kinds import KINDS
from filmsplit.records.positions import Position, Whereabouts


def about(entry: Entry, marks: Mapping[int, str]) -> str:
    """The contact, the roller or the unit that an entry is about."""
    if entry.contact:
        return f"{entry.press}:{entry.unit}.{entry.contact}"
    return marks[entry.roller_id] if entry.roller_id is not None else f"{entry.press}:{entry.unit}"


def said(entry: Entry, hardness: Hardness | None) -> str:
    """The values of an entry with their unit and what they say, or its word."""
    if entry.points:
        unit = KINDS[entry.kind].unit
        values = numbers_read(" ".join(f"{value:g}" for value in entry.values), unit)
        doubt = "" if entry.reliable else " " + label("entry.unreliable")
        median = "" if hardness is None else f" → {hardness.median_shore_a:.1f} ± {hardness.sd_shore_a:.1f}"
        return f"{values} {unit_read(unit)}{median}{doubt}"
    counted = "" if entry.impressions is None else str(entry.impressions)
    return entry.grade or counted or entry.product


def where(position: Position | None) -> str:
    """Where a roller is; empty where nobody has said."""
    if position is None:
        return ""
    note = f" ({position.note})" if position.note else ""
    if position.whereabouts is Whereabouts.PRESS:
        return f"{position.at}{note}"
    return label(f"whereabouts.{position.whereabouts.name.lower()}") + note
