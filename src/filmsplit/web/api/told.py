"""What the API is told: the bodies of requests. A field that is not among them is refused, not passed over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import ConfigDict, Field

from filmsplit.actions.shop import Shop, kept_press
from filmsplit.messages import Problem, Refusal

Line = Annotated[str, Field(max_length=200)]
"""A name or a title."""
Text = Annotated[str, Field(max_length=4000)]
"""Remarks."""
Number = Annotated[float, Field(allow_inf_nan=False, ge=-1e9, le=1e9)]
Count = Annotated[int, Field(ge=0, le=10**12)]
Percents = Annotated[tuple[Number, ...], Field(max_length=80)]
MOST_READINGS = 200
MOST_MARKS = 60
_ONLY_THESE = ConfigDict(extra="forbid")
PARTED = frozenset(":/\\")


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """Where something was read: a roller by its mark or code, or a press of the shop with what is meant on it.

    On a press: ``place`` is a roller's place, ``members`` are the two of a contact; with neither, the whole unit.
    """

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    roller: Line = ""
    press: Line = ""
    unit: Line = ""
    place: Line = ""
    members: Annotated[tuple[Line, ...], Field(max_length=2)] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTold:
    """One reading or one thing done. ``kind`` as in the manual's page on records; ``values`` in the unit of the kind.

    ``along`` names the place along the roller where the kind leaves it open; ``instead_of`` is the number of an entry
    that was wrong.
    """

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    kind: Line
    at: At
    values: Annotated[tuple[Number, ...], Field(max_length=100)] = ()
    along: Line = ""
    angle_deg: Number | None = None
    temperature_c: Number | None = None
    instrument: Line = ""
    person: Line = ""
    arrival: bool = False
    grade: Line = ""
    product: Line = ""
    impressions: Count | None = None
    remarks: Text = ""
    instead_of: Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsTold:
    """What was read, to be put on record together or not at all."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    readings: Annotated[tuple[ReadingTold, ...], Field(min_length=1, max_length=MOST_READINGS)]


@dataclass(frozen=True, slots=True, kw_only=True)
class StrikeTold:
    """Why an entry is struck out."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    reason: Annotated[str, Field(min_length=1, max_length=4000)]


@dataclass(frozen=True, slots=True, kw_only=True)
class BringTold:
    """Which press of the demo workshop to copy into the shop."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    press: Line


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTold:
    """A job as it was really printed on one unit: lists by zone from the operator's side, shares in percent."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    press: Line
    unit: Line = ""
    title: Line
    ink: Line = ""
    stock: Line = ""
    operator: Line = ""
    remarks: Text = ""
    sheets: Count | None = None
    sheets_to_ok: Count | None = None
    waste_sheets: Count | None = None
    sweep: Number | None = None
    water: Number | None = None
    aim_density: Number | None = None
    saturation: Number | None = None
    rate_per_um: Number | None = None
    sheet_length_mm: Number | None = None
    sheet_width_mm: Number | None = None
    keys: Percents = ()
    coverage_percent: Percents = ()
    densities: Annotated[tuple[Number | None, ...], Field(max_length=80)] = ()
    status: Annotated[str, Field(max_length=1)] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectTold:
    """A sheet of a job on record as it was measured: a density for each zone, ``null`` where none was read."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    densities: Annotated[tuple[Number | None, ...], Field(min_length=1, max_length=80)]
    status: Annotated[str, Field(max_length=1)] = ""
    sheet: Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetTold:
    """A job to be set: one ink by its coverage zone by zone in percent, from the operator's side."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    press: Line
    unit: Line = ""
    coverage_percent: Annotated[tuple[Annotated[float, Field(ge=0, le=100)], ...], Field(min_length=1, max_length=80)]
    ink: Line = ""
    title: Line = ""
    stock: Line = ""
    run: Count | None = None
    aim_um: Number | None = None
    sheet_length_mm: Number | None = None
    sheet_width_mm: Number | None = None
    sweep: Number | None = None


def where_in(shop: Shop, at: At) -> str:
    """Where that is, as the actions are told; :class:`Refusal` where the shop has no such press.

    A name is looked up in the shop and never made into a path: none may hold what parts a path.
    """
    for name in (at.roller, at.press, at.unit, at.place, *at.members):
        if PARTED & set(name):
            raise Refusal(Problem("roller-not-found", {"asked": name}))
    if at.roller or not at.press:
        return at.roller
    found = f"{kept_press(shop, at.press).path}:{at.unit}"
    meant = at.place or "/".join(at.members)
    return f"{found}.{meant}" if meant else found
