"""The stripe map of a press: the last stripe of every contact, its shape, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import sqlalchemy as sa

from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.find import find_press
from filmsplit.actions.reading_round import has_stripe_to_read
from filmsplit.actions.register import Daybook, looking
from filmsplit.condition.limits import CareTable
from filmsplit.condition.setting_allowed import withheld
from filmsplit.condition.setting_targets import TOLERANCE_MM, USUAL_TEMPERATURES, stripe_at_mm
from filmsplit.condition.stripe_shape import Shape, ShapeFound, StripeRead, shapes_of
from filmsplit.contact.described import described_pair
from filmsplit.figures.stripe_map import Sign
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.contacts import CYLINDER_IDS, Contact
from filmsplit.records.entries import Entry, entries_of_press
from filmsplit.records.positions import PressPlace, fitted


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactStripe:
    """The last stripe of one contact. ``target_mm`` is what it should show at ``temperature_c``.

    ``warmth_used``: whether the target was brought to that temperature; else it is the one of the press file.
    ``held``: why its rollers may not be set. ``widths_mm`` is empty where nothing was read on these rollers.
    """

    number: int
    contact: str
    sign: Sign
    target_mm: float
    warmth_used: bool
    target_assumed: bool
    tolerance_mm: float
    widths_mm: tuple[float, ...]
    temperature_c: float | None
    day: date | None
    shapes: tuple[ShapeFound, ...]
    held: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitStripes:
    """The contacts of one unit, in the order of the press file."""

    unit: str
    contacts: tuple[ContactStripe, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeMap:
    """The stripes of a press by the records of a day."""

    press: str
    today: date
    units: tuple[UnitStripes, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What the records say: the last stripes by contact, who is fitted where, and the histories of all rollers."""

    unit: Unit
    stripes: Mapping[tuple[str, str], Entry]
    fitted: Mapping[PressPlace, int]
    shop: ShopHistory
    table: CareTable


def stripe_map(reference: str, *, book: Daybook, unit: str | None = None, limits: Path | None = None) -> StripeMap:
    """The last stripe of every contact that has one to read. Writes nothing."""
    press, table = find_press(reference).press, care_table(limits)
    with looking(book) as connection:
        shop, stripes = shop_history(connection, book.day), _stripes(connection, press, book.day)
        there = fitted(connection, book.day)
    units = [
        _unit(press, _Known(unit=each, stripes=stripes, fitted=there, shop=shop, table=table))
        for each in units_asked(press, unit)
    ]
    return StripeMap(press=press.id, today=book.day, units=tuple(units))


def stripe_read(each: ContactStripe) -> StripeRead | None:
    """The widths as they were read; ``None`` where none were."""
    return _read(each.widths_mm, each.temperature_c) if each.widths_mm else None


def _stripes(connection: sa.Connection, press: Press, day: date) -> dict[tuple[str, str], Entry]:
    """The last stripe of each contact. One that was read before its adjusters were turned says nothing any more."""
    entries = entries_of_press(connection, press.id, kinds=("stripe", "adjusted"))
    last = {(each.unit, each.contact): each for each in entries if each.day <= day and each.reliable}
    return {contact: each for contact, each in last.items() if each.kind == "stripe"}


def _unit(press: Press, known: _Known) -> UnitStripes:
    soft = {roller.id for roller in known.unit.rollers if roller.is_soft}
    contacts = [each for each in known.unit.contacts if has_stripe_to_read(each, soft=soft)]
    told = tuple(_contact(press, each, number=number, known=known) for number, each in enumerate(contacts, 1))
    return UnitStripes(unit=known.unit.id, contacts=told)


def _contact(press: Press, contact: Contact, *, number: int, known: _Known) -> ContactStripe:
    entry = _last(press, contact, known)
    warmth = None if entry is None else entry.temperature_c
    now = None if warmth is None else target_at(press, known.unit, contact=contact, at_c=warmth)
    target = contact.stripe.target_mm if now is None else now
    shapes = () if entry is None else shapes_of(_read(entry.values, warmth), target_mm=target)
    held = _held(press, contact, known)
    path = ("units", known.unit.id, "contacts", contact.id, "stripe", "target_mm")
    return ContactStripe(
        number=number,
        contact=contact.id,
        sign=_sign(shapes, held),
        target_mm=target,
        warmth_used=now is not None,
        target_assumed=any(press.is_assumed(*path[:end]) for end in range(5, len(path) + 1)),
        tolerance_mm=TOLERANCE_MM,
        widths_mm=() if entry is None else entry.values,
        temperature_c=warmth,
        day=None if entry is None else entry.day,
        shapes=shapes,
        held=held,
    )


def _last(press: Press, contact: Contact, known: _Known) -> Entry | None:
    """The last stripe, if it was read on the rollers that are fitted now: another roller's says nothing of these."""
    entry = known.stripes.get((known.unit.id, contact.id))
    if entry is None:
        return None
    here = {known.fitted.get(place) for place in _places(press, contact, known.unit)}
    return entry if {entry.roller_id, entry.partner_id} - {None} <= here else None


def _places(press: Press, contact: Contact, unit: Unit) -> Iterator[PressPlace]:
    for member in (contact.a, contact.b):
        if member not in CYLINDER_IDS:
            yield PressPlace(press=press.id, unit=unit.id, place=member)


def _read(widths_mm: tuple[float, ...], temperature_c: float | None) -> StripeRead:
    """The widths. No shape depends on the temperature: it is the target that is brought to it."""
    warmth = USUAL_TEMPERATURES.cold_c if temperature_c is None else temperature_c
    return StripeRead(widths_mm=widths_mm, temperature_c=warmth)


def target_at(press: Press, unit: Unit, *, contact: Contact, at_c: float) -> float | None:
    """The target as it shows at a temperature; ``None`` where mechanics cannot tell, as with cloth."""
    try:
        pair = described_pair(press, unit, contact).pair
    except Refusal:
        return None
    return stripe_at_mm(pair, target_mm=contact.stripe.target_mm, at_c=at_c, temperatures=USUAL_TEMPERATURES)


def _held(press: Press, contact: Contact, known: _Known) -> tuple[Problem, ...]:
    by_mark = {roller.id: roller for roller in known.shop.rollers}
    at = {position.at: by_mark[mark] for mark, position in known.shop.positions.items() if mark in by_mark}
    places = tuple(_places(press, contact, known.unit))
    soft = [each.place for each in places if known.unit.roller(each.place).is_soft]
    histories = {each.place: at[each] for each in places if each in at}
    return withheld([each.place for each in places], histories, table=known.table, soft=soft)


def _sign(shapes: tuple[ShapeFound, ...], held: tuple[Problem, ...]) -> Sign:
    """Read it first; leave what is right; hold what is withheld or no screw puts right; set the rest."""
    kinds = {each.shape for each in shapes}
    if not kinds:
        return Sign.READ
    if kinds == {Shape.EVEN}:
        return Sign.LEAVE
    return Sign.HOLD if held or not all(each.is_set for each in kinds) else Sign.SET
