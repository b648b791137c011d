"""What can be put on record about rollers: readings, each with its quantity, unit, range and places, and events."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from filmsplit.condition.words import Grade


class Subject(Enum):
    """What an entry is about."""

    ROLLER = "roller"
    CONTACT = "contact"
    UNIT = "unit"


ENDS = ("operator", "gear")
ACROSS_3 = ("operator", "middle", "gear")
ACROSS_5 = ("operator", "operator-middle", "middle", "middle-gear", "gear")
DUCTOR_SIDES = ("feed", "train")

GRADES = tuple(grade.value for grade in Grade)
"""What a cover looks like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of entry.

    ``quantity`` names the column of its values, and so their unit; empty for an event without values. ``low`` and
    ``high`` bound what can be at all. ``places`` gives, for each number of values that is taken, where each was read;
    without places any number up to ``most`` is taken, all at one place or counted from the operator's side.
    """

    subject: Subject
    quantity: str = ""
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    places: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    most: int = 0
    warm: bool = False
    """Whether it reads differently on a warm roller."""
    event: bool = False


KINDS: Mapping[str, Kind] = {
    "hardness": Kind(subject=Subject.ROLLER, quantity="hardness_shore_a", unit="Shore A", high=100, most=25, warm=True),
    "diameter": Kind(
        subject=Subject.ROLLER, quantity="diameter_mm", unit="mm", low=5, high=1000, places={3: ACROSS_3}, warm=True
    ),
    "run-out": Kind(
        subject=Subject.ROLLER, quantity="run_out_mm", unit="mm", high=5, places={1: ("middle",), 3: ACROSS_3}
    ),
    "stripe": Kind(
        subject=Subject.CONTACT,
        quantity="width_mm",
        unit="mm",
        high=40,
        places={3: ACROSS_3, 5: ACROSS_5},
        warm=True,
    ),
    "adjusted": Kind(
        subject=Subject.CONTACT, quantity="tightened_deg", unit="°", low=-7200, high=7200, places={2: ENDS}, event=True
    ),
    "grade": Kind(subject=Subject.ROLLER),
    "play": Kind(subject=Subject.ROLLER, quantity="play_mm", unit="mm", high=5, places={2: ENDS}),
    "stroke": Kind(subject=Subject.ROLLER, quantity="stroke_mm", unit="mm", high=150, places={1: ("",)}),
    "dwell": Kind(subject=Subject.ROLLER, quantity="dwell_mm", unit="mm", high=20000, places={2: DUCTOR_SIDES}),
    "blade-zero": Kind(
        subject=Subject.UNIT, quantity="zero_divisions", unit="divisions", low=-10000, high=10000, places={1: ("",)}
    ),
    "key-zero": Kind(
        subject=Subject.UNIT, quantity="zero_divisions", unit="divisions", low=-10000, high=10000, most=200
    ),
    "wash-up": Kind(subject=Subject.UNIT, event=True),
    "impressions": Kind(subject=Subject.UNIT, event=True),
    "deglaze": Kind(subject=Subject.ROLLER, event=True),
    "descale": Kind(subject=Subject.ROLLER, event=True),
    "bearings": Kind(subject=Subject.ROLLER, event=True),
    "regrind": Kind(
        subject=Subject.ROLLER,
        quantity="diameter_mm",
        unit="mm",
        low=5,
        high=1000,
        places={1: ("middle",), 3: ACROSS_3},
        event=True,
    ),
    "re-cover": Kind(subject=Subject.ROLLER, event=True),
    "cloth-cover": Kind(subject=Subject.ROLLER, event=True),
}
"""Every kind by its word. Ranges are wide: they catch slips of the finger, they judge nothing."""

QUANTITIES: Mapping[str, str] = {kind.quantity: kind.unit for kind in KINDS.values() if kind.quantity}
"""The unit of each quantity, by its column."""
