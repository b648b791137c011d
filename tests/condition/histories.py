"""Small made-up histories of one roller for the tests of verdicts."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from filmsplit.condition.readings import DiameterReading, Event, HardnessReading, RollerDrawing, RollerHistory
from filmsplit.condition.words import EventKind, Grade
from filmsplit.press.words import Material, Role

START = date(2024, 1, 8)
DRAWING = RollerDrawing(diameter_mm=54.0, hardness_shore_a=25.0, compound=Material.NITRILE)


def day(number: float) -> date:
    return START + timedelta(days=number)


def hardness(on: float, value: float, *, reader: str = "AB", grade: Grade | None = None) -> HardnessReading:
    """Five readings at the reference temperature whose median is ``value``."""
    around = (value - 1.0, value - 0.5, value, value + 0.5, value + 1.0)
    return HardnessReading(
        on=day(on), values_shore_a=around, temperature_c=23.0, instrument="D1", reader=reader, grade=grade
    )


def diameter(on: float, operator_side: float, middle: float, gear_side: float) -> DiameterReading:
    return DiameterReading(on=day(on), operator_side_mm=operator_side, middle_mm=middle, gear_side_mm=gear_side)


def event(on: float, kind: EventKind) -> Event:
    return Event(on=day(on), kind=kind)


def roller(**known: Any) -> RollerHistory:
    """A form roller received on day 0."""
    events = (event(0, EventKind.RECEIVED), *known.pop("events", ()))
    return RollerHistory(**{"id": "F1", "role": Role.FORM, "press": "heron", "drawing": DRAWING} | known, events=events)
