"""How fast each roller's surface runs beside the press: 1 wherever contacts roll, otherwise by the stated slip."""

from __future__ import annotations

from filmsplit.press.contacts import CYLINDER_IDS, Contact
from filmsplit.press.press import Unit
from filmsplit.press.repeats import repeat_of, turns_ratio
from filmsplit.press.roller import Roller
from filmsplit.press.words import ContactKind, MotionKind


def travel_of_one_turn_mm(unit: Unit, roller: Roller) -> float | None:
    """Press travel while the roller turns once: by its gearing, otherwise by its surface speed; ``None``: unknown."""
    if turns_ratio(unit, roller) is not None:
        return repeat_of(unit, roller.id).length_mm
    speed = surface_speeds(unit).get(roller.id)
    return None if speed is None else roller.circumference_mm / speed


def surface_speeds(unit: Unit) -> dict[str, float]:
    """Surface speed over press speed by roller id. Left out: rollers that no stated speed reaches.

    Rolling contacts are followed to their end before one slipping contact is crossed, so a slip only counts where
    nothing rolling leads. A ductor runs with the train while it touches it, but passes no speed on: what lies behind
    it turns slowly by itself.
    """
    speeds = dict.fromkeys(CYLINDER_IDS, 1.0)
    ductors = {roller.id for roller in unit.rollers if roller.motion.kind is MotionKind.DUCTS}
    rolling = [contact for contact in unit.contacts if contact.kind is not ContactKind.SLIPS]
    slipping = [contact for contact in unit.contacts if contact.kind is ContactKind.SLIPS]
    while _cross_one(rolling, speeds, ductors) or _cross_one(slipping, speeds, ductors):
        pass
    return {roller.id: speeds[roller.id] for roller in unit.rollers if roller.id in speeds}


def _cross_one(contacts: list[Contact], speeds: dict[str, float], ductors: set[str]) -> bool:
    """Carry the speed over the first of ``contacts`` that leads from a known surface to an unknown one."""
    for contact in contacts:
        for here in (contact.a, contact.b):
            other = contact.other(here)
            if here not in speeds or here in ductors or other in speeds:
                continue
            ratio = _own_over_partner(contact, other)
            if ratio is not None:
                speeds[other] = speeds[here] * ratio
                return True
    return False


def _own_over_partner(contact: Contact, member: str) -> float | None:
    if contact.kind is not ContactKind.SLIPS:
        return 1.0
    if contact.speed_ratio is None:
        return None
    return contact.speed_ratio if member == contact.a else 1 / contact.speed_ratio
