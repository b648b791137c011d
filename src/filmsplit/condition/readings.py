"""What was read on a roller and what was done to it: plain frozen data, in the order it happened.

Nothing here is judged. A value nobody gave is ``None`` or an empty tuple, never 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from statistics import fmean, median

from filmsplit.condition.words import EventKind, Grade
from filmsplit.press.words import HARD_MATERIALS, Material, Role

LOWEST_SHORE_A, HIGHEST_SHORE_A = 20.0, 90.0
"""Type A readings outside are kept and marked, but no verdict rests on them (ASTM D2240 / ISO 48-4, memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessReading:
    """One round of a durometer on one roller: all its readings, wherever along the face they were taken.

    ``grade`` is what the face looked like when it was read: a skin of glaze reads harder than the cover below.
    """

    on: date
    values_shore_a: tuple[float, ...]
    temperature_c: float | None = None
    instrument: str = ""
    reader: str = ""
    grade: Grade | None = None

    @property
    def median_shore_a(self) -> float:
        return median(self.values_shore_a)

    @property
    def is_reliable(self) -> bool:
        return bool(self.values_shore_a) and LOWEST_SHORE_A <= self.median_shore_a <= HIGHEST_SHORE_A


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterReading:
    """A diameter at three places along the face."""

    on: date
    operator_side_mm: float
    middle_mm: float
    gear_side_mm: float

    @property
    def mean_mm(self) -> float:
        return fmean((self.operator_side_mm, self.middle_mm, self.gear_side_mm))

    @property
    def ends_over_middle_mm(self) -> float:
        """How much the thicker end stands over the middle; negative for a barrel."""
        return max(self.operator_side_mm, self.gear_side_mm) - self.middle_mm

    @property
    def taper_mm(self) -> float:
        return abs(self.operator_side_mm - self.gear_side_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunOutReading:
    """Total indicated run-out at places along the face."""

    on: date
    values_mm: tuple[float, ...]

    @property
    def worst_mm(self) -> float:
        return max(self.values_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeReading:
    """Widths of one stripe from the operator's side, with the partner it was taken against."""

    on: date
    partner: str
    widths_mm: tuple[float, ...]
    temperature_c: float | None = None

    @property
    def mean_mm(self) -> float:
        return fmean(self.widths_mm)

    @property
    def uneven_mm(self) -> float:
        return max(self.widths_mm) - min(self.widths_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeReading:
    """What the face looked like."""

    on: date
    grades: tuple[Grade, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayReading:
    """Play of the journals in their sockets."""

    on: date
    play_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something done. A change of wash concerns every roller of the press, so it stands in each one's history."""

    on: date
    kind: EventKind
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerDrawing:
    """What a roller should be. ``None`` where the drawing is not at hand."""

    diameter_mm: float | None = None
    diameter_tolerance_mm: float | None = None
    least_diameter_mm: float | None = None
    core_mm: float | None = None
    face_mm: float | None = None
    length_mm: float | None = None
    journal_mm: float | None = None
    ends: str = ""
    keyway: str = ""
    hardness_shore_a: float | None = None
    compound: Material | None = None
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerHistory:
    """Everything on record about one roller. ``press`` and ``unit`` are empty for one on the shelf."""

    id: str
    role: Role | None = None
    press: str = ""
    unit: str = ""
    drawing: RollerDrawing = RollerDrawing()
    hardness: tuple[HardnessReading, ...] = ()
    diameters: tuple[DiameterReading, ...] = ()
    run_outs: tuple[RunOutReading, ...] = ()
    stripes: tuple[StripeReading, ...] = ()
    grades: tuple[GradeReading, ...] = ()
    plays: tuple[PlayReading, ...] = ()
    events: tuple[Event, ...] = ()

    @property
    def cover_since(self) -> date | None:
        """The day the cover now on it began its life, as far as anybody wrote one down."""
        days = [event.on for event in self.events if event.kind.begins_a_cover]
        return max(days) if days else None

    @property
    def is_soft(self) -> bool:
        """Covered with something that yields; a roller of unknown make counts as soft."""
        return self.drawing.compound not in HARD_MATERIALS

    def last(self, kind: EventKind) -> date | None:
        """The last day something was done."""
        return max((event.on for event in self.events if event.kind is kind), default=None)

    def hardness_of_cover(self) -> tuple[HardnessReading, ...]:
        """Reliable readings of the cover now on it, the oldest first."""
        since = self.cover_since
        found = (each for each in self.hardness if each.is_reliable and (since is None or each.on >= since))
        return tuple(sorted(found, key=lambda each: each.on))
