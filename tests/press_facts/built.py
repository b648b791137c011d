"""Small trains whose facts can be told by looking: plate in the middle, rollers placed round it by hand. Invented."""

from __future__ import annotations

from filmsplit.press import Contact, Press, Roller, Unit
from filmsplit.press.words import ContactKind, MotionKind, Role, System, TurnSense
from trains import build_contact, build_cylinders, build_fountain, build_motion, build_press, build_roller, point

PLATE_MM = 173.0


def roller(id: str, role: Role, system: System = System.INK, *, mm: float = 50.0, **given: object) -> Roller:
    given.setdefault("centre", point((0, 300)))  # somewhere; what meets the plate is placed by the tests
    return build_roller(id, mm, role=role, system=system, **given)


def rolls(*pairs: str) -> list[Contact]:
    """Rolling contacts written ``"F1/plate"``."""
    return [build_contact(*pair.split("/")) for pair in pairs]


def thrown_off(pair: str) -> Contact:
    return build_contact(*pair.split("/"), throws_off=True)


def touches(pair: str) -> Contact:
    return build_contact(*pair.split("/"), ContactKind.TOUCHES)


def ductor(id: str, system: System = System.INK) -> Roller:
    return roller(id, Role.DUCTOR, system, motion=build_motion(MotionKind.DUCTS))


INK_ROLLERS = [
    roller("IF", Role.FOUNTAIN, mm=60, cover=None),
    ductor("DU"),
    roller("D1", Role.DRUM, mm=66, cover=None),
    roller("F1", Role.FORM, mm=54, centre=point((-100, 60)), lifts_out=True),
    roller("F2", Role.FORM, mm=50, centre=point((100, 60)), lifts_out=True),
]
INK_CONTACTS = [touches("IF/DU"), touches("DU/D1"), *rolls("D1/F1", "F2/D1", "F1/plate", "plate/F2")]
"""Fountain, ductor, one drum, two form rollers: ink goes over F1 on the left and F2 on the right."""


def unit(
    rollers: list[Roller] | None = None,
    contacts: list[Contact] | None = None,
    *,
    turns: TurnSense = TurnSense.CLOCKWISE,
    id: str = "A",
) -> Unit:
    """The two-form ink train with ``rollers`` and ``contacts`` added to it."""
    return Unit(
        id=id,
        name=id,
        cylinders=build_cylinders(PLATE_MM, turns=turns),
        fountain=build_fountain("IF"),
        rollers=(*INK_ROLLERS, *(rollers or [])),
        contacts=(*INK_CONTACTS, *(contacts or [])),
    )


def press(*units: Unit) -> Press:
    return build_press(*(units or (unit(),)))


WATER_ROLLERS = [
    roller("WP", Role.PAN, System.DAMPENING, cover=None),
    roller("WT", Role.TRANSFER, System.DAMPENING, cover=None),
    roller("WF", Role.FORM, System.DAMPENING, centre=point((-110, -40))),
]
SEPARATE = [build_contact("WP", "WT", ContactKind.SLIPS, speed_ratio=0.3), *rolls("WT/WF", "WF/plate")]
"""Pan, transfer roller, dampening form roller: water comes to the plate by itself."""
