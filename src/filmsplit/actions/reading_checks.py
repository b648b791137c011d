"""Readings looked over at entry: what cannot be is refused, what is doubtful is kept and said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.condition.readings import HIGHEST_SHORE_A, LOWEST_SHORE_A
from filmsplit.messages import Problem
from filmsplit.press import Unit
from filmsplit.press.words import HARD_MATERIALS
from filmsplit.records.entries import Entry
from filmsplit.records.hardness import Hardness
from filmsplit.records.instruments import Instrument
from filmsplit.records.kinds import ACROSS_5, ENDS, GRADES, Kind, Subject
from filmsplit.records.roller_facts import RollerFacts

TEMPERATURES_C = (-10.0, 80.0)
"""A roller that somebody holds a gauge to is not colder or hotter; wide, to catch slips of the finger only."""
ROOM_C, ROOM_TOLERANCE_C = 23.0, 2.0
"""Hardness is read in a room of 23 ± 2 °C (ASTM D2240, ISO 23529; memory)."""
USUAL_COUNT = 5
"""Five readings and their median (ASTM D2240; common practice)."""
LARGEST_SPREAD_SHORE_A = 5.0
"""Five readings of one careful hand scatter by less (common practice)."""
LEAST_COVER_MM = 6.0
"""Below this the core is felt and the reading is too high (ASTM D2240)."""
LARGEST_CHANGE_MM = 2.0
"""No cover grows or wears by more and is still run (common practice): a slip, or another roller."""
OWN_UNITS = {"hardness": "Shore A", "diameter": "mm", "run-out": "mm", "stripe": "mm", "play": "mm", "stroke": "mm"}
"""What the instrument of a reading has to read in."""
SELF_CHECKED = "picture"
"""Has its scale in it and says itself how sure it is: it needs no calibration of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """An entry with what it is judged by: its kind, its instrument, its roller's mark and facts, or its unit."""

    kind: Kind
    entry: Entry
    instrument: Instrument | None = None
    mark: str = ""
    facts: RollerFacts | None = None
    unit: Unit | None = None


def problems_of(seen: Seen) -> Iterator[Problem]:
    """Why an entry cannot go on record; nothing where it can."""
    yield from _value_problems(seen)
    yield from _word_problems(seen)
    entry, instrument = seen.entry, seen.instrument
    low_c, high_c = TEMPERATURES_C
    if entry.temperature_c is not None and not low_c <= entry.temperature_c <= high_c:
        values = {"what": "temperature", "given": entry.temperature_c, "low": low_c, "high": high_c, "unit": "°C"}
        yield Problem("reading-out-of-range", values)
    wanted = OWN_UNITS.get(entry.kind)
    if instrument is not None and wanted is not None and instrument.unit != wanted:
        values = {"name": instrument.name, "reads": instrument.unit, "kind": entry.kind, "wanted": wanted}
        yield Problem("instrument-wrong-unit", values)


def noticed(seen: Seen, hardness: Hardness | None) -> Iterator[Problem]:
    """What a person should know about an entry that went on record."""
    if seen.kind.warm and not seen.kind.event and seen.entry.temperature_c is None:
        yield Problem("reading-temperature-missing", {"kind": seen.entry.kind})
    if hardness is not None:
        yield from _about_hardness(seen, hardness)
    if seen.kind.quantity and seen.entry.kind in OWN_UNITS:
        yield from _about_instrument(seen)
    yield from _about_diameter(seen)


def is_reliable(entry: Entry, facts: RollerFacts | None) -> bool:
    """Whether verdicts may rest on an entry: hardness within what the type A gauge is made for, on a soft cover."""
    return entry.kind != "hardness" or (
        all(LOWEST_SHORE_A <= value <= HIGHEST_SHORE_A for value in entry.values) and not (facts and _is_hard(facts))
    )


def _value_problems(seen: Seen) -> Iterator[Problem]:
    kind, entry = seen.kind, seen.entry
    count = len(entry.values)
    if not kind.quantity:
        if count:
            yield Problem("reading-takes-no-values", {"kind": entry.kind, "given": count})
        return
    fits = count in kind.places if kind.places else 1 <= count <= kind.most
    if not fits:
        wanted = " or ".join(map(str, kind.places)) if kind.places else f"1 to {kind.most}"
        yield Problem("reading-count", {"kind": entry.kind, "given": count, "wanted": wanted})
    for value in entry.values:
        if not kind.low <= value <= kind.high:  # NaN is out of every range
            values = {"what": entry.kind, "given": value, "low": kind.low, "high": kind.high, "unit": kind.unit}
            yield Problem("reading-out-of-range", values)


def _word_problems(seen: Seen) -> Iterator[Problem]:
    kind, entry = seen.kind, seen.entry
    if (entry.kind == "grade") != bool(entry.grade) or (entry.grade and entry.grade not in GRADES):
        values = {"kind": entry.kind, "given": entry.grade, "known": ", ".join(GRADES)}
        yield Problem("reading-grade-unknown", values)
    if (entry.kind == "impressions") != (entry.impressions is not None) or (entry.impressions or 0) < 0:
        yield Problem("reading-counter-missing", {"kind": entry.kind})
    at = {point.place for point in entry.points}
    if kind.subject is Subject.ROLLER and not at <= {"", "feed", "train", *ENDS, *ACROSS_5}:
        yield Problem("reading-place-unknown", {"given": ", ".join(sorted(at)), "known": ", ".join(ACROSS_5)})
    if kind.subject is Subject.UNIT and kind.quantity and seen.unit is not None:
        zones = len(seen.unit.fountain.zone_widths_mm) if seen.unit.fountain else 0
        if not zones:
            yield Problem("ink-no-fountain", {"unit": seen.unit.id})
        elif not kind.places and len(entry.values) != zones:
            yield Problem("job-zones-count", {"what": entry.kind, "given": len(entry.values), "zones": zones})


def _about_hardness(seen: Seen, hardness: Hardness) -> Iterator[Problem]:
    low, high = LOWEST_SHORE_A, HIGHEST_SHORE_A
    entry, facts = seen.entry, seen.facts
    outside = [value for value in entry.values if not low <= value <= high]
    if outside:
        yield Problem("hardness-outside-scale", {"given": outside[0], "low": low, "high": high})
    if facts is not None and _is_hard(facts):
        yield Problem("hardness-of-hard-cover", {"mark": seen.mark, "material": facts.cover_material})
    if facts is not None and facts.cover_thickness_mm is not None and facts.cover_thickness_mm < LEAST_COVER_MM:
        values = {"mark": seen.mark, "thickness_mm": facts.cover_thickness_mm, "least_mm": LEAST_COVER_MM}
        yield Problem("hardness-thin-cover", values)
    if hardness.count < USUAL_COUNT:
        yield Problem("hardness-few-readings", {"count": hardness.count, "usual": USUAL_COUNT})
    if hardness.spread_shore_a > LARGEST_SPREAD_SHORE_A:
        values = {"spread": hardness.spread_shore_a, "most": LARGEST_SPREAD_SHORE_A}
        yield Problem("hardness-wide-spread", values)
    warmth = entry.temperature_c
    if warmth is not None and abs(warmth - ROOM_C) > ROOM_TOLERANCE_C:
        values = {"temperature_c": warmth, "room_c": ROOM_C, "tolerance_c": ROOM_TOLERANCE_C}
        yield Problem("hardness-off-room-temperature", values)


def _about_instrument(seen: Seen) -> Iterator[Problem]:
    entry, instrument = seen.entry, seen.instrument
    if instrument is None:
        yield Problem("reading-instrument-missing", {"kind": entry.kind})
        return
    calibration = instrument.calibration_on(entry.day)
    if calibration is None and instrument.kind == SELF_CHECKED:
        return
    if calibration is None:
        yield Problem("instrument-not-calibrated", {"name": instrument.name, "day": entry.day.isoformat()})
    elif calibration.due is not None and entry.day > calibration.due:
        values = {"name": instrument.name, "due": calibration.due.isoformat(), "day": entry.day.isoformat()}
        yield Problem("instrument-calibration-overdue", values)


def _about_diameter(seen: Seen) -> Iterator[Problem]:
    facts = seen.facts
    if facts is None or seen.kind.quantity != "diameter_mm":
        return
    known_mm = facts.arrival_diameter_mm or facts.drawn_diameter_mm
    far = [value for value in seen.entry.values if known_mm and abs(value - known_mm) > LARGEST_CHANGE_MM]
    if far and known_mm:
        yield Problem("diameter-far-off", {"mark": seen.mark, "given_mm": far[0], "known_mm": known_mm})


def _is_hard(facts: RollerFacts) -> bool:
    return facts.cover_material in {material.value for material in HARD_MATERIALS}
