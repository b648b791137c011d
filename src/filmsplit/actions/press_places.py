"""What is at a place of a train: the roller's place with the roller fitted there, and a contact with its stripes."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.actions.care_histories import PLATE
from filmsplit.actions.press_map import verdicts_at
from filmsplit.actions.register import Daybook
from filmsplit.actions.roller_card import last_entries, trend_of
from filmsplit.actions.shop import KeptPress
from filmsplit.actions.today import history_in
from filmsplit.condition.readings import StripeReading
from filmsplit.condition.verdict import RollerVerdict
from filmsplit.figures.drawing import Drawing
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Press, Roller, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.facts import facts_of
from filmsplit.press.surfaces import RollerFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class AtPlace:
    """A roller's place. ``mark`` is the roller of the register fitted there, ``None`` where nobody registered one.

    ``entries`` are its last (day, kind, what), the newest first; ``trend`` how its cover hardens, where that is known.
    """

    press: Press
    unit: Unit
    roller: Roller
    facts: RollerFacts
    contacts: tuple[Contact, ...]
    mark: str | None
    verdict: RollerVerdict | None
    entries: tuple[tuple[str, str, str], ...] = ()
    trend: Drawing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InContact:
    """A contact, the rollers in it, and the stripes read there while both were fitted, the newest first."""

    press: Press
    unit: Unit
    contact: Contact
    rollers: tuple[Roller, ...]
    stripes: tuple[StripeReading, ...]


def at_place(kept: KeptPress, unit: str, *, roller: str, book: Daybook) -> AtPlace:
    """The place called ``roller`` on a unit; :class:`Refusal` where there is none."""
    press, where = _unit(kept, unit)
    found = next((each for each in where.rollers if each.id == roller), None)
    if found is None:
        raise Refusal(Problem("place-not-on-unit", {"place": roller, "press": press.id, "unit": where.id}))
    verdict = verdicts_at(press, where, history=history_in(book)).get(roller)
    mark = None if verdict is None else verdict.roller
    return AtPlace(
        press=press,
        unit=where,
        roller=found,
        facts=facts_of(press).unit(where.id).roller(roller),
        contacts=tuple(each for each in where.contacts if each.joins(roller)),
        mark=mark,
        verdict=verdict,
        entries=() if mark is None else tuple(last_entries(mark, book=book)),
        trend=None if mark is None else trend_of(mark, book=book),
    )


def in_contact(kept: KeptPress, unit: str, *, contact: str, book: Daybook) -> InContact:
    """The contact called ``contact`` on a unit; :class:`Refusal` where there is none."""
    press, where = _unit(kept, unit)
    found = next((each for each in where.contacts if each.id == contact), None)
    if found is None:
        raise Refusal(Problem("place-not-on-unit", {"place": contact, "press": press.id, "unit": where.id}))
    return InContact(
        press=press,
        unit=where,
        contact=found,
        rollers=tuple(each for each in where.rollers if found.joins(each.id)),
        stripes=_stripes(press, where, contact=found, book=book),
    )


def _unit(kept: KeptPress, unit: str) -> tuple[Press, Unit]:
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept.press, units_asked(kept.press, unit)[0]


def _stripes(press: Press, unit: Unit, *, contact: Contact, book: Daybook) -> tuple[StripeReading, ...]:
    """Of the rollers now fitted in the contact; a stripe of rollers since moved says nothing about it."""
    history = history_in(book)
    here = {
        position.at.place: mark
        for mark, position in history.positions.items()
        if position.at is not None and (position.at.press, position.at.unit) == (press.id, unit.id)
    }
    fitted = {here[member] for member in (contact.a, contact.b) if member in here}
    partner = PLATE if PLATE in (contact.a, contact.b) else contact.id
    found = {
        stripe
        for roller in history.rollers
        if roller.id in fitted
        for stripe in roller.stripes
        if stripe.partner == partner
    }
    return tuple(sorted(found, key=lambda stripe: stripe.on, reverse=True))
