"""The form rollers in the order in which a place on the plate meets them."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.press.nips import rounds_of
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import System


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

    A place on the plate leaves the blanket, is damped and inked by the form rollers in turn, and comes back. In a
    unit that has not been surveyed, where a centre is unknown, they come in file order and without degrees.
    """
    degrees = _after_blanket_deg(unit)
    meeting = [roller for roller in unit.rollers if any(c.joins("plate") for c in unit.contacts_of(roller.id))]
    meeting.sort(key=lambda roller: degrees.get(roller.id, 0.0))
    return tuple(_form(roller, order, degrees.get(roller.id)) for order, roller in enumerate(meeting, start=1))


def _form(roller: Roller, order: int, after_blanket_deg: float | None) -> FormRoller:
    return FormRoller(
        id=roller.id,
        system=roller.system,
        diameter_mm=roller.diameter_mm,
        order=order,
        after_blanket_deg=after_blanket_deg,
    )


def _after_blanket_deg(unit: Unit) -> dict[str, float]:
    """Plate turn since the blanket by the id of what the plate meets; empty where a centre is unknown."""
    if any(roller.centre is None for roller in unit.rollers):
        return {}
    plate = next(round_ for round_ in rounds_of(unit) if round_.member == "plate")
    return {stop.partner: 360.0 * stop.place_mm / plate.length_mm for stop in plate.stops}
