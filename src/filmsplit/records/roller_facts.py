"""What is known about a roller besides its identity: one row per field, and the columns made of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from sqlalchemy import Column, Float, Integer

from filmsplit.press.rows import Row, row, row_of
from filmsplit.records.metadata import day, text


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerFacts:
    """A roller as drawn and as it arrived. ``None`` and empty texts: nobody has said."""

    role: str = row("role: the word of a press file, such as form or distributor")
    drawing_number: str = row("drawing number")
    colour: str = row("colour: what it is marked with")
    drawn_diameter_mm: float | None = row("drawn diameter", unit="mm", low=5, high=1000)
    diameter_tolerance_mm: float | None = row(
        "diameter tolerance: how far it may be off, either way", unit="mm", low=0, high=5
    )
    least_diameter_mm: float | None = row("least diameter: it may be ground down to that", unit="mm", low=5, high=1000)
    face_mm: float | None = row("working face", unit="mm", low=20, high=3000)
    overall_mm: float | None = row("length over all", unit="mm", low=20, high=4000)
    core_diameter_mm: float | None = row("core diameter: under the cover", unit="mm", low=2, high=1000)
    journal_mm: float | None = row("journal diameter", unit="mm", low=2, high=200)
    ends: str = row("ends: how they fit")
    bearings: str = row("bearings: or sockets, with type and size")
    cover_material: str = row("cover material: empty for a bare roller too")
    cover_thickness_mm: float | None = row("cover thickness: on one side", unit="mm", low=0.02, high=60)
    crown_mm: float | None = row("crown: how much thicker the middle is than the ends", unit="mm", low=-2, high=2)
    roughness_um: float | None = row("roughness: mean (Ra) of the face", unit="µm", low=0, high=100)
    drawn_hardness_shore_a: float | None = row("drawn hardness: as ordered", unit="Shore A", low=0, high=100)
    made: str = row("made: when the cover was, as on its label, such as 2029-Q3")
    received_on: date | None = row("received: when it came")
    arrival_hardness_shore_a: float | None = row(
        "arrival hardness: what later readings are judged against", unit="Shore A", low=0, high=100
    )
    arrival_diameter_mm: float | None = row("arrival diameter", unit="mm", low=5, high=1000)
    arrival_run_out_mm: float | None = row("arrival run-out: the largest", unit="mm", low=0, high=5)
    supplier: str = row("supplier: who makes or covers it")
    price: float | None = row("price: of a cover, in the shop's own money", low=0, high=1_000_000)
    lead_time_days: int | None = row("lead time: from order to delivery", unit="days", low=0, high=1000)
    remarks: str = row("remarks: anything else worth knowing")


def fact_rows() -> dict[str, Row]:
    """The row of each fact, by its name. Its help begins with a short name; what explains it follows a colon."""
    return {each.name: row_of(each) for each in fields(RollerFacts)}


def facts_told(facts: RollerFacts) -> Iterator[tuple[str, str]]:
    """Short name and value with its unit of every fact that is known."""
    for name, about in fact_rows().items():
        value = getattr(facts, name)
        if value not in (None, ""):
            shown = f"{value:g}" if isinstance(value, float) else str(value)
            yield about.help.partition(":")[0], f"{shown} {about.unit}".strip()


def fact_types() -> dict[str, type]:
    """The type of each fact: ``str``, ``float``, ``int`` or ``date``."""
    words = {"str": str, "float | None": float, "int | None": int, "date | None": date}
    return {each.name: words[str(each.type)] for each in fields(RollerFacts)}


def no_facts() -> RollerFacts:
    """Nothing known yet."""
    nothing: dict[str, Any] = {name: "" if kind is str else None for name, kind in fact_types().items()}
    return RollerFacts(**nothing)


def fact_columns() -> Iterator[Column[Any]]:
    """A column per fact."""
    rows = fact_rows()
    for name, kind in fact_types().items():
        about = rows[name]
        comment = f"{about.help}, {about.unit}" if about.unit else about.help
        if kind is str:
            yield text(name, comment)
        elif kind is date:
            yield day(name, comment, required=False)
        else:
            yield Column(name, Float if kind is float else Integer, comment=comment)
