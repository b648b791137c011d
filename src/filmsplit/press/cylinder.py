"""Plate, blanket and impression cylinders."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press import assumed
from filmsplit.press.roller import Point
from filmsplit.press.rows import row
from filmsplit.press.words import TurnSense


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """A plate or blanket cylinder as dressed: body, and what is wrapped round it."""

    centre: Point = row(
        "where its axis is, may be rough",
        assumed=assumed.CYLINDER_CENTRE,
        source="plate at the origin, blanket straight below it",
        counts_for=("drawing",),
    )
    body_diameter_mm: float = row(
        "diameter of the bare body",
        unit="mm",
        low=20,
        high=3000,
        assumed=assumed.BODY_DIAMETER,
        source="longest sheet plus gap go once round; the blanket matches the plate",
        spread=5.0,
        counts_for=("marks", "ink", "packing"),
    )
    undercut_mm: float = row(
        "body below bearer, one side",
        unit="mm",
        low=0,
        high=20,
        assumed=0.0,
        source="no bearers",
        counts_for=("packing",),
    )
    bearer_diameter_mm: float | None = row("diameter of the bearers, where there are any", unit="mm", low=20, high=3000)
    gap_mm: float = row(
        "gap, measured round the surface",
        unit="mm",
        low=0,
        high=3000,
        assumed=assumed.GAP,
        spread=30.0,
        counts_for=("marks", "ink"),
    )
    cover_mm: float = row(
        "thickness of the plate or of the blanket",
        unit="mm",
        low=0,
        high=10,
        assumed=assumed.COVER,
        spread=0.15,
        counts_for=("marks", "packing"),
    )
    packing_mm: float = row(
        "packing under plate or blanket",
        unit="mm",
        low=0,
        high=10,
        assumed=0.0,
        spread=0.1,
        counts_for=("marks", "packing"),
    )
    gear_teeth: int | None = row("teeth of the cylinder's gear", low=5, high=2000, counts_for=("marks",))
    gear_module_mm: float | None = row(
        "module of the cylinder's gear (25.4 ÷ diametral pitch)", unit="mm", low=0.2, high=50, counts_for=("marks",)
    )

    @property
    def diameter_mm(self) -> float:
        """Over plate or blanket: what the rollers and the sheet meet."""
        return self.body_diameter_mm + 2 * (self.cover_mm + self.packing_mm)

    @property
    def circumference_mm(self) -> float:
        return math.pi * self.diameter_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Impression:
    """The cylinder that brings the sheet to the blanket."""

    centre: Point = row(
        "where its axis is, may be rough",
        assumed=assumed.IMPRESSION_CENTRE,
        source="straight below the blanket",
        counts_for=("drawing",),
    )
    diameter_mm: float = row(
        "diameter of its surface",
        unit="mm",
        low=20,
        high=3000,
        assumed=assumed.IMPRESSION_DIAMETER,
        source="as the plate cylinder",
        spread=1.0,
        counts_for=("drawing",),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinders:
    """The three cylinders of a unit."""

    plate: Cylinder = row("plate cylinder", assumed={})
    blanket: Cylinder = row("blanket cylinder", assumed={})
    impression: Impression = row("impression cylinder", assumed={})
    plate_turns: TurnSense = row("turn of the plate cylinder, from the operator's side", required=True)
