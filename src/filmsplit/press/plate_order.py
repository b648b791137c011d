"""The form rollers in the order in which a place on the plate meets them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press.press import Unit
from filmsplit.press.roller import Point, Roller
from filmsplit.press.words import System, TurnSense


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRoller:
    """A roller that meets the plate. ``after_blanket_deg`` is plate turn since the blanket (``None``: unknown)."""

    id: str
    system: System
    diameter_mm: float
    order: int
    after_blanket_deg: float | None


def form_rollers(unit: Unit) -> tuple[FormRoller, ...]:
    """Every roller that meets the plate, counted with the plate's turn from the blanket on.

    A place on the plate leaves the blanket, is damped and inked by the form rollers in turn, and comes back.
    Rollers whose place is unknown come last, in file order.
    """
    placed = [(_after_blanket_deg(unit, roller), roller) for roller in unit.rollers if _meets_plate(unit, roller)]
    placed.sort(key=lambda pair: math.inf if pair[0] is None else pair[0])
    return tuple(
        FormRoller(
            id=roller.id,
            system=roller.system,
            diameter_mm=roller.diameter_mm,
            order=order,
            after_blanket_deg=degrees,
        )
        for order, (degrees, roller) in enumerate(placed, start=1)
    )


def _meets_plate(unit: Unit, roller: Roller) -> bool:
    return any(contact.joins("plate") for contact in unit.contacts_of(roller.id))


def _after_blanket_deg(unit: Unit, roller: Roller) -> float | None:
    cylinders = unit.cylinders
    if roller.centre is None:
        return None
    plate = cylinders.plate.centre
    forward_deg = _bearing_deg(plate, roller.centre) - _bearing_deg(plate, cylinders.blanket.centre)
    return (forward_deg if cylinders.plate_turns is TurnSense.ANTICLOCKWISE else -forward_deg) % 360.0


def _bearing_deg(origin: Point, to: Point) -> float:
    return math.degrees(math.atan2(to.y_mm - origin.y_mm, to.x_mm - origin.x_mm))
