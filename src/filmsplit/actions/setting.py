"""Set the rollers of a press: in which order, what each stripe should show, and from the stripes read, what to turn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.find import find_press
from filmsplit.actions.readings import Recorded, Told, record
from filmsplit.actions.register import Daybook, looking
from filmsplit.actions.setting_passes import KINDS, OnRecord, passes_of
from filmsplit.condition.limits import CareTable
from filmsplit.condition.setting_advice import SettingAdvice, advise
from filmsplit.condition.setting_allowed import withheld
from filmsplit.condition.setting_group import SetGroup, set_group
from filmsplit.condition.setting_order import PlannedContact, setting_order
from filmsplit.condition.setting_targets import Temperatures, stripe_targets
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.contacts import CYLINDER_IDS
from filmsplit.records.entries import Entry, entries_of_press
from filmsplit.records.positions import PressPlace, fitted

OLD_DAYS = 7
"""A stripe read longer ago is read again before anything is turned by it (invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingAsked:
    """Which contacts (all, if none is named), stripes typed now, and the temperatures that targets are told for."""

    unit: str | None = None
    contacts: tuple[str, ...] = ()
    stripes: Mapping[str, StripeRead] = field(default_factory=dict)
    temperatures: Temperatures = field(default_factory=Temperatures)
    limits: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactPlan:
    """A contact in its turn, with its target cold and warm; ``None``: the cover is unknown, or they do not touch."""

    planned: PlannedContact
    target_mm: float
    cold_mm: float | None
    warm_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupPlan:
    """Contacts set together, in order. ``advice`` is ``None`` where no stripe was read; ``held``: why none may be set.

    ``read_on`` are the days of the readings used (today's for those typed); ``notes`` what to know about them.
    """

    contacts: tuple[ContactPlan, ...]
    stripes: Mapping[str, StripeRead]
    read_on: Mapping[str, date]
    passes: int
    advice: SettingAdvice | None
    held: tuple[Problem, ...]
    notes: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSetting:
    """One unit: its groups in the order of setting."""

    unit: str
    groups: tuple[GroupPlan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What to set on a press, by the records of a day and what was typed."""

    press: str
    invented: bool
    today: date
    temperatures: Temperatures
    units: tuple[UnitSetting, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What the records say of one unit."""

    press: Press
    unit: Unit
    asked: SettingAsked
    entries: tuple[Entry, ...]
    fitted: Mapping[PressPlace, int]
    shop: ShopHistory
    table: CareTable
    today: date


def plan_setting(reference: str, asked: SettingAsked, *, book: Daybook) -> Setting:
    """The plan of a press. Reads the records, writes nothing; :class:`Refusal` with names that are not on the press."""
    press = find_press(reference).press
    units = units_asked(press, asked.unit)
    _refuse_strangers(press, units, asked=asked)
    entries, there, shop = _on_record(press, book)
    return Setting(
        press=press.id,
        invented=press.invented,
        today=book.day,
        temperatures=asked.temperatures,
        units=tuple(
            _unit(
                _Known(
                    press=press,
                    unit=unit,
                    asked=asked,
                    entries=tuple(each for each in entries if each.unit == unit.id),
                    fitted=there,
                    shop=shop,
                    table=care_table(asked.limits),
                    today=book.day,
                )
            )
            for unit in units
        ),
    )


def record_turned(reference: str, found: Setting, *, person: str, book: Daybook) -> tuple[Recorded, ...]:
    """Put on record that all ``found`` tells to turn was turned as told; :class:`Refusal` if it tells nothing."""
    told = [
        Told(
            kind="adjusted",
            where=f"{reference}:{unit.unit}.{contact.contact}",
            values=(contact.turns[0].net_deg, contact.turns[1].net_deg),
            person=person,
        )
        for unit in found.units
        for group in unit.groups
        for contact in (group.advice.contacts if group.advice else ())
        if contact.turns is not None
    ]
    if not told:
        raise Refusal(Problem("setting-nothing-to-turn", {"press": found.press}))
    return record(told, book=book)


def _refuse_strangers(press: Press, units: Sequence[Unit], *, asked: SettingAsked) -> None:
    known = [contact.id for unit in units for contact in unit.contacts]
    strangers = [name for name in (*asked.contacts, *asked.stripes) if name not in known]
    if strangers:
        values = {"names": ", ".join(strangers), "press": press.id, "known": ", ".join(known)}
        raise Refusal(Problem("setting-contact-unknown", values))
    twice = [name for name in asked.stripes if known.count(name) > 1]
    if twice:
        raise Refusal(Problem("setting-contact-on-several-units", {"names": ", ".join(twice)}))


def _on_record(press: Press, book: Daybook) -> tuple[tuple[Entry, ...], Mapping[PressPlace, int], ShopHistory]:
    """What was read and turned, who is fitted where, and all histories. A shop without records has none of it."""
    if not book.records.exists():
        return (), {}, ShopHistory(rollers=(), facts={}, positions={}, logs={})
    with looking(book) as connection:
        entries = entries_of_press(connection, press.id, kinds=KINDS)
        return (
            tuple(each for each in entries if each.day <= book.day and each.reliable),
            fitted(connection, book.day),
            shop_history(connection, book.day),
        )


def _unit(known: _Known) -> UnitSetting:
    groups, done = [], set[str]()
    for planned in setting_order(known.unit):
        if planned.contact.id in done:
            continue
        group = set_group(known.press, known.unit, planned.contact, temperatures=known.asked.temperatures)
        ids = {each.id for each in group.contacts}
        done |= ids
        if not known.asked.contacts or ids & set(known.asked.contacts):
            groups.append(_group(known, group))
    return UnitSetting(unit=known.unit.id, groups=tuple(groups))


def _group(known: _Known, group: SetGroup) -> GroupPlan:
    ids = [each.id for each in group.contacts]
    places = tuple(dict.fromkeys(_places(known, ids)))
    rollers = frozenset(known.fitted[place] for place in places if place in known.fitted)
    recorded = passes_of(known.entries, ids, rollers=rollers)
    typed = {id: stripe for id, stripe in known.asked.stripes.items() if id in ids}
    stripes = {**recorded.stripes, **typed}
    held = _held(known, places)
    plan = {each.contact.id: each for each in setting_order(known.unit)}
    return GroupPlan(
        contacts=tuple(_contact(group, plan[id]) for id in ids),
        stripes=stripes,
        read_on={**recorded.days, **dict.fromkeys(typed, known.today)},
        passes=len(recorded.passes),
        advice=_advice(group, stripes, recorded=recorded, held=held) if stripes else None,
        held=held,
        notes=tuple(_notes(recorded, typed=typed, today=known.today)),
    )


def _advice(
    group: SetGroup, stripes: Mapping[str, StripeRead], *, recorded: OnRecord, held: tuple[Problem, ...]
) -> SettingAdvice:
    return advise(group, stripes, passes=recorded.passes, withheld=held)


def _places(known: _Known, contacts: Sequence[str]) -> Iterator[PressPlace]:
    for contact in known.unit.contacts:
        for member in (contact.a, contact.b) if contact.id in contacts else ():
            if member not in CYLINDER_IDS:
                yield PressPlace(press=known.press.id, unit=known.unit.id, place=member)


def _held(known: _Known, places: Sequence[PressPlace]) -> tuple[Problem, ...]:
    by_mark = {roller.id: roller for roller in known.shop.rollers}
    at = {position.at: by_mark[mark] for mark, position in known.shop.positions.items() if mark in by_mark}
    soft = [each.place for each in places if known.unit.roller(each.place).is_soft]
    histories = {each.place: at[each] for each in places if each in at}
    return withheld([each.place for each in places], histories, table=known.table, soft=soft)


def _contact(group: SetGroup, planned: PlannedContact) -> ContactPlan:
    contact = group.contact(planned.contact.id)
    plan = ContactPlan(planned=planned, target_mm=contact.target_mm, cold_mm=None, warm_mm=None)
    if contact.pair is None:
        return plan
    found = stripe_targets(contact.pair, target_mm=contact.target_mm, temperatures=group.temperatures)
    return replace(plan, cold_mm=found.cold_mm, warm_mm=found.warm_mm)


def _notes(recorded: OnRecord, *, typed: Mapping[str, StripeRead], today: date) -> Iterator[Problem]:
    for contact in recorded.unread:
        if contact not in typed:
            yield Problem("setting-turned-not-read", {"contact": contact})
    for contact in recorded.cold:
        if contact not in typed:
            yield Problem("setting-stripe-without-temperature", {"contact": contact})
    for contact, day in recorded.days.items():
        if contact in recorded.stripes and contact not in typed and (today - day).days > OLD_DAYS:
            yield Problem("setting-stripe-old", {"contact": contact, "day": day.isoformat(), "days": OLD_DAYS})
