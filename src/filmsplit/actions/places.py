"""What somebody means who names a place on a press: ``heron:F1``, ``heron:B.F1``, ``heron:F1/plate``, ``heron:B``.

The press is one that can be found (a press file, or a press of the demo workshop). The unit is needed only where the
press has that place more than once.
"""

from __future__ import annotations

from filmsplit.actions.find import find_press
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.contacts import Contact
from filmsplit.records.positions import PressPlace

PARTED = ":"
"""Stands between a press and a place on it; no mark of a roller may hold it."""


def names_a_place(text: str) -> bool:
    """Whether a text names a place on a press rather than a roller."""
    return PARTED in text


def press_place(text: str) -> PressPlace:
    """The place of a roller; :class:`Refusal` where the press has none of that name, or several."""
    press, unit, name = _parted(text)
    found = [each for each in units_asked(press, unit or None) if any(roller.id == name for roller in each.rollers)]
    known = [f"{each.id}.{roller.id}" for each in press.units for roller in each.rollers]
    of = _only(found, asked=name, press=press, known=known)
    return PressPlace(press=press.id, unit=of.id, place=name)


def press_contact(text: str) -> tuple[Press, Unit, Contact]:
    """The contact that is named by its two members, in either order."""
    press, unit, name = _parted(text)
    members = set(name.split("/"))
    found = [
        (each, contact)
        for each in units_asked(press, unit or None)
        for contact in each.contacts
        if {contact.a, contact.b} == members
    ]
    known = [f"{each.id}.{contact.id}" for each in press.units for contact in each.contacts]
    of = _only([each for each, _ in found], asked=name, press=press, known=known)
    return press, of, next(contact for each, contact in found if each is of)


def press_unit(text: str) -> tuple[Press, Unit]:
    """The unit, or the only one of the press."""
    reference, parted, unit = text.rpartition(PARTED)
    press = find_press(reference if parted else text).press
    found = units_asked(press, unit or None if parted else None)
    return press, _only(found, asked=press.id, press=press, known=[each.id for each in press.units])


def _parted(text: str) -> tuple[Press, str, str]:
    """The press, the unit (empty where nobody said) and what is meant there."""
    reference, _, rest = text.rpartition(PARTED)
    unit, _, name = rest.rpartition(".")
    return find_press(reference).press, unit, name


def _only(found: list[Unit] | tuple[Unit, ...], *, asked: str, press: Press, known: list[str]) -> Unit:
    values = {"asked": asked, "press": press.id, "known": ", ".join(known)}
    if not found:
        raise Refusal(Problem("place-not-on-press", values))
    if len(found) > 1:
        raise Refusal(Problem("place-on-several-units", values | {"units": ", ".join(each.id for each in found)}))
    return found[0]
