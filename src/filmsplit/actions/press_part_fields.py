"""Which parts of a press have a form of their own, which fields each form has, and in which groups they are asked for.

First what nobody can do without, then what follows from looking closer; a form has every field the press file has.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from filmsplit.press import Contact, Cylinders, Fountain, Press, Roller

Path = tuple[str, ...]


class PartKind(Enum):
    """What can be described in a form of its own."""

    PRESS = "press"
    CYLINDERS = "cylinders"
    FOUNTAIN = "fountain"
    ROLLER = "roller"
    CONTACT = "contact"
    NEW_ROLLER = "new-roller"
    NEW_CONTACT = "new-contact"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a press; ``id`` only for a roller and a contact."""

    kind: PartKind
    unit: str
    id: str = ""

    @property
    def path(self) -> Path:
        """Where it stands in the press file."""
        unit = ("units", self.unit)
        return {
            PartKind.PRESS: (),
            PartKind.CYLINDERS: (*unit, "cylinders"),
            PartKind.FOUNTAIN: (*unit, "fountain"),
            PartKind.ROLLER: (*unit, "rollers", self.id),
            PartKind.NEW_ROLLER: (*unit, "rollers", self.id),
            PartKind.CONTACT: (*unit, "contacts", self.id),
            PartKind.NEW_CONTACT: (*unit, "contacts", self.id),
        }[self.kind]


_GEAR = ("gear_teeth", "gear_module_mm", "bearer_diameter_mm", "centre.x_mm", "centre.y_mm")
_DRESSED = ("body_diameter_mm", "undercut_mm", "gap_mm", "cover_mm", "packing_mm", *_GEAR)
_ROLLER = (
    *("id", "role", "diameter_mm", "centre.x_mm", "centre.y_mm"),
    *("cover", "cover.material", "cover.thickness_mm", "cover.hardness_shore_a"),
    *("drive.kind", "drive.teeth", "drive.pitch_diameter_mm", "drive.turns_per_plate_turn"),
    *("motion.kind", "motion.stroke_mm", "motion.cycle_rev", "motion.phase_deg"),
    *("motion.dwell_feed_mm", "motion.dwell_train_mm", "motion.swing_mm"),
    *("core.material", "core.ends", "core.journal_mm"),
    *("name", "purpose", "system", "drawn_diameter_mm", "face_mm", "mass_kg", "surface", "lifts_out"),
)
_MORE = ("name", "purpose", "system", "drawn_diameter_mm", "face_mm", "mass_kg", "surface", "lifts_out")
_ADJUSTER = (
    *("kind", "mm_per_turn", "mm_per_deg", "tightens"),
    *("backlash_deg", "travel_left_mm", "overhang_mm", "also_moves"),
)
ADJUSTERS = ("adjusters.operator", "adjusters.gear")
_CONTACT = (
    *("a", "b", "kind", "speed_ratio", "slip_direction", "throws_off"),
    *("stripe.target_mm", "stripe.source"),
    *(name for end in ADJUSTERS for name in (end, *(f"{end}.{each}" for each in _ADJUSTER))),
)
FIELDS: Mapping[PartKind, tuple[type, tuple[str, ...]]] = {
    PartKind.PRESS: (Press, ("name", "note", "face_mm", "sheet_width_mm", "sheet_length_mm", "hand_wheel")),
    PartKind.CYLINDERS: (
        Cylinders,
        (
            "plate_turns",
            *(f"plate.{each}" for each in _DRESSED),
            *(f"blanket.{each}" for each in _DRESSED),
            *(f"impression.{each}" for each in ("diameter_mm", "centre.x_mm", "centre.y_mm")),
        ),
    ),
    PartKind.FOUNTAIN: (
        Fountain,
        (
            *("roller", "zone_widths_mm", "first_zone_mm", "blade"),
            *("keys.kind", "keys.lowest", "keys.highest", "keys.film_um_per_division"),
            *("sweep.kind", "sweep.lowest", "sweep.highest", "sweep.mm_per_division"),
        ),
    ),
    PartKind.ROLLER: (Roller, _ROLLER),
    PartKind.NEW_ROLLER: (Roller, _ROLLER),
    PartKind.CONTACT: (Contact, _CONTACT),
    PartKind.NEW_CONTACT: (Contact, _CONTACT),
}
NAMING = ("id", "a", "b")
"""What a part goes by: never unknown, and to be changed wherever it is named."""
LATER = frozenset({"drive", "motion", "core", "more", "blanket", "impression", "adjusters.operator", "adjusters.gear"})
"""Groups that a press can do without for a long time: folded away while nothing is written in them."""


def group_of(part: Part, name: str) -> str:
    """The group of the form that a field is asked for in; an empty text for what comes first."""
    if part.kind in (PartKind.ROLLER, PartKind.NEW_ROLLER) and name in _MORE:
        return "more"
    if name.startswith(ADJUSTERS):
        return ".".join(name.split(".")[:2])
    first = name.partition(".")[0]
    return "" if first == name and name != "cover" else first
