"""The press: units, each with cylinders, rollers, contacts and an ink fountain."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from filmsplit.press.contacts import CYLINDER_IDS, Contact
from filmsplit.press.cylinder import Cylinder, Cylinders, Impression
from filmsplit.press.fountain import Fountain
from filmsplit.press.roller import Roller
from filmsplit.press.rows import row

Member = Roller | Cylinder | Impression

MOST_UNITS = 24
"""A press with more units is refused: the longest perfecting presses have half as many (a vocational text; memory)."""
MOST_ROLLERS = 60
"""A unit with more rollers is refused: the longest trains ever built have about 35 (a vocational text; memory)."""
MOST_CONTACTS = 3 * (MOST_ROLLERS + len(CYLINDER_IDS)) - 6
"""More pairs of so many bodies cannot touch side by side in a plane (Euler's formula for planar graphs)."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value that stands in for an unknown one.

    ``path`` leads to the field, list items by their id: ``("units", "A", "rollers", "F1", "diameter_mm")``.
    """

    path: tuple[str, ...]
    value: Any
    unit: str
    source: str
    spread: float | None
    counts_for: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One printing unit."""

    id: str = row("short name of the unit", required=True)
    name: str = row("name in the shop's words", assumed="")
    cylinders: Cylinders = row("plate, blanket and impression", assumed={})
    fountain: Fountain | None = row("ink fountain")
    rollers: tuple[Roller, ...] = row("every roller of the unit", required=True)
    contacts: tuple[Contact, ...] = row("every contact of a roller", required=True)

    def roller(self, id: str) -> Roller:
        """The roller called ``id``; ``KeyError`` if this unit has none."""
        for roller in self.rollers:
            if roller.id == id:
                return roller
        raise KeyError(id)

    def member(self, id: str) -> Member:
        """The roller or cylinder called ``id``; ``KeyError`` if there is none."""
        if id in CYLINDER_IDS:
            return getattr(self.cylinders, id)  # type: ignore[no-any-return]
        return self.roller(id)

    @property
    def member_ids(self) -> tuple[str, ...]:
        """Cylinders first, then rollers in file order."""
        return (*CYLINDER_IDS, *(roller.id for roller in self.rollers))

    def contacts_of(self, id: str) -> tuple[Contact, ...]:
        return tuple(contact for contact in self.contacts if contact.joins(id))


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """A whole press, frozen. ``assumptions`` lists every unknown and the value that stands in for it."""

    id: str = row("short name of the press", required=True)
    name: str = row("name in the shop's words", assumed="")
    invented: bool = row("yes for a press that exists only on paper", assumed=False)
    note: str = row("anything worth knowing", assumed="")
    face_mm: float = row(
        "usual length of a roller face", unit="mm", low=20, high=3000, assumed=350.0, spread=50.0, counts_for=("ink",)
    )
    sheet_width_mm: float = row(
        "widest sheet, across the press", unit="mm", low=50, high=2000, assumed=320.0, spread=40.0, counts_for=("ink",)
    )
    sheet_length_mm: float = row(
        "longest sheet, in the direction of travel", unit="mm", low=50, high=2000, assumed=450.0, spread=50.0
    )
    hand_wheel: bool = row("can the press be turned by a hand wheel", assumed=False, counts_for=("setting",))
    units: tuple[Unit, ...] = row("printing units, in the order the sheet meets them", required=True)
    assumptions: tuple[Assumption, ...] = field(default=(), metadata={"row": None})
    _assumed: frozenset[tuple[str, ...]] = field(
        default=frozenset(), init=False, repr=False, compare=False, metadata={"row": None}
    )

    def __post_init__(self) -> None:
        # Every check of every roller asks what is assumed: looked up, not looked through.
        object.__setattr__(self, "_assumed", frozenset(each.path for each in self.assumptions))

    def unit(self, id: str) -> Unit:
        """The unit called ``id``; ``KeyError`` if there is none."""
        for unit in self.units:
            if unit.id == id:
                return unit
        raise KeyError(id)

    def is_assumed(self, *path: str) -> bool:
        """Whether the field at ``path`` is assumed rather than given."""
        return path in self._assumed
