"""What must agree for one roller to stand in for another, and by how much two rollers miss it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from filmsplit.press.makeup import make_up_of
from filmsplit.press.press import Press
from filmsplit.press.roller import Roller

DIAMETER, FACE, JOURNAL = "interchange.diameter", "interchange.face", "interchange.journal"
THICKNESS, HARDNESS = "interchange.cover_thickness", "interchange.hardness"
ENDS, MATERIAL, MAKE_UP = "interchange.ends", "interchange.material", "interchange.make_up"
"""Keys of labels: what is compared. The make-up, and whether there is a cover at all, goes before its measures."""

_ROUNDING = 1e-9
"""So that 44.4 and 44.2 count as 0.2 apart."""

UNITS = {DIAMETER: "mm", FACE: "mm", JOURNAL: "mm", THICKNESS: "mm", HARDNESS: "Shore A"}


@dataclass(frozen=True, slots=True, kw_only=True)
class InterchangeTolerances:
    """How far two rollers may differ and still stand in for each other (common practice; change them freely).

    Diameter: the making tolerance of rollers of this size. Journals must fit their bearings. Cover thickness: as a
    regrind leaves it. Hardness: new covers arrive within about that.
    """

    diameter_mm: float = 0.2
    face_mm: float = 1.0
    journal_mm: float = 0.05
    thickness_mm: float = 0.5
    hardness_shore_a: float = 5.0

    def of(self, key: str) -> float:
        """What is allowed for the measure called ``key``."""
        return {
            DIAMETER: self.diameter_mm,
            FACE: self.face_mm,
            JOURNAL: self.journal_mm,
            THICKNESS: self.thickness_mm,
            HARDNESS: self.hardness_shore_a,
        }[key]


@dataclass(frozen=True, slots=True, order=True)
class RollerPlace:
    """A roller of a unit of a press."""

    press: str
    unit: str
    roller: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that two rollers differ in. ``by`` and ``allowed`` are ``None`` for words, which agree or do not."""

    label_key: str
    a: str | float
    b: str | float
    unit: str
    by: float | None
    allowed: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A roller with what must agree, by label key; ``unknown`` holds the keys that nobody has measured on it."""

    place: RollerPlace
    measures: Mapping[str, float]
    words: Mapping[str, str]
    unknown: frozenset[str]


def candidate(press: Press, unit_id: str, roller: Roller) -> Candidate:
    """What must agree on one roller, and what of it is only assumed."""
    measures = {DIAMETER: roller.diameter_mm, FACE: roller.face_mm, JOURNAL: roller.core.journal_mm}
    if roller.cover is not None:
        measures |= {THICKNESS: roller.cover.thickness_mm, HARDNESS: roller.cover.hardness_shore_a}
    words = {
        MAKE_UP: make_up_of(roller).value,
        MATERIAL: roller.surface_material.value,
        ENDS: " ".join(roller.core.ends.casefold().split()),
    }
    return Candidate(
        place=RollerPlace(press.id, unit_id, roller.id),
        measures=measures,
        words=words,
        unknown=_unknown(press, unit_id, roller),
    )


def _unknown(press: Press, unit_id: str, roller: Roller) -> frozenset[str]:
    record = ("units", unit_id, "rollers", roller.id)
    surface = "core" if roller.cover is None else "cover"
    fields = {
        DIAMETER: ("diameter_mm",),
        JOURNAL: ("core", "journal_mm"),
        THICKNESS: ("cover", "thickness_mm"),
        HARDNESS: ("cover", "hardness_shore_a"),
        ENDS: ("core", "ends"),
        MATERIAL: (surface, "material"),
    }
    found = {key for key, field in fields.items() if _is_assumed(press, record, field)}
    # A face taken over from the press is as good as the press's own.
    if press.is_assumed(*record, "face_mm") and (press.is_assumed("face_mm") or roller.face_mm != press.face_mm):
        found.add(FACE)
    if not roller.core.ends or roller.core.ends == "unknown":
        found.add(ENDS)
    return frozenset(found)


def _is_assumed(press: Press, record: tuple[str, ...], field: tuple[str, ...]) -> bool:
    """Whether a field, or the whole record that holds it, is assumed."""
    return any(press.is_assumed(*record, *field[:depth]) for depth in range(1, len(field) + 1))


def unsure_of(a: Candidate, b: Candidate) -> frozenset[str]:
    """What must be checked on one or the other before swapping them."""
    compared = a.measures.keys() | b.measures.keys() | a.words.keys()
    return (a.unknown | b.unknown) & compared


def differences(a: Candidate, b: Candidate, allowed: InterchangeTolerances) -> tuple[Difference, ...]:
    """Everything known that speaks against swapping the two. What is unknown speaks neither for nor against."""
    unsure = unsure_of(a, b)
    words = [
        Difference(label_key=key, a=a.words[key], b=b.words[key], unit="", by=None, allowed=None)
        for key in (MAKE_UP, MATERIAL, ENDS)
        if key not in unsure and a.words[key] != b.words[key]
    ]
    measures = [
        _off(key, a, b, allowed=allowed.of(key))
        for key in UNITS
        if key not in unsure and key in a.measures and key in b.measures
        if abs(a.measures[key] - b.measures[key]) > allowed.of(key) + _ROUNDING
    ]
    return (*words, *measures)


def _off(key: str, a: Candidate, b: Candidate, *, allowed: float) -> Difference:
    mine, other = a.measures[key], b.measures[key]
    return Difference(label_key=key, a=mine, b=other, unit=UNITS[key], by=other - mine, allowed=allowed)
