"""Readings and events go on record: found where they belong, looked over, written together or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import sqlalchemy as sa

from filmsplit.actions.places import names_a_place, press_contact, press_unit
from filmsplit.actions.reading_checks import Seen, is_reliable, noticed, problems_of
from filmsplit.actions.register import Daybook, looking, meant, opened
from filmsplit.formats.scalars import hint
from filmsplit.messages import Place, Problem, Refusal
from filmsplit.press.contacts import CYLINDER_IDS
from filmsplit.records.entries import (
    Entry,
    Point,
    all_entries,
    entries_of_press,
    entries_of_roller,
    entries_of_run,
    kind_and_standing,
    log_entry,
    strike,
)
from filmsplit.records.hardness import Hardness, hardness_of
from filmsplit.records.instruments import Instrument, all_instruments, instrument_named
from filmsplit.records.kinds import KINDS, Kind, Subject
from filmsplit.records.positions import PressPlace, fitted, positions_on
from filmsplit.records.rollers import facts_on, marks
from filmsplit.records.store import Writer
from filmsplit.records.submits import recorded_before


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What somebody tells of one reading or event, as told.

    ``where``: a roller (mark, code or place), a contact, or a unit, as its kind asks. ``at``: the place along the
    roller, where the kind leaves it open. ``instead_of``: the number of an entry that was wrong. ``place``: where in
    a file it stands.
    """

    kind: str
    where: str
    values: tuple[float, ...] = ()
    at: str = ""
    angle_deg: float | None = None
    temperature_c: float | None = None
    instrument: str = ""
    person: str = ""
    arrival: bool = False
    grade: str = ""
    product: str = ""
    impressions: int | None = None
    remarks: str = ""
    instead_of: int | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """An entry on record, what was noticed about it, and what a hardness reading says."""

    entry: Entry
    notices: tuple[Problem, ...]
    hardness: Hardness | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """Entries that count, the oldest first; ``marks`` names their rollers."""

    entries: tuple[Entry, ...]
    marks: Mapping[int, str]


def record(told: Sequence[Told], *, book: Daybook, key: str = "") -> tuple[Recorded, ...]:
    """Put everything told on record in one transaction; :class:`Refusal` with all that stands in the way of any.

    ``key`` is the sender's own name for what is sent: told again under it, it is not recorded again, and the answer is
    what was recorded the first time.
    """
    with opened(book) as store, store.write("reading add") as writer:
        before = recorded_before(writer, key, said=repr(tuple(told))) if key else None
        if before is None:
            return record_in(writer, told, book=book)
        return tuple(again(writer.connection, each) for each in entries_of_run(writer.connection, before))


def record_in(writer: Writer, told: Sequence[Told], *, book: Daybook) -> tuple[Recorded, ...]:
    """The same within a transaction that is open already: for what goes on record together with something else."""
    problems: list[Problem] = []
    done: list[Recorded] = []
    for each in told:
        try:
            seen = _seen(writer.connection, each, book=book)
        except Refusal as refusal:
            problems.extend(problem.at(each.place) for problem in refusal.problems)
            continue
        found = [*problems_of(seen), *_correction_problems(writer.connection, each)]
        problems.extend(problem.at(each.place) for problem in found)
        if not found:
            entry = replace(seen.entry, reliable=is_reliable(seen.entry, seen.facts))
            number = log_entry(writer, entry, instead_of=each.instead_of)
            done.append(_recorded(replace(entry, number=number), seen))
    if problems:
        raise Refusal(problems)
    return tuple(done)


def strike_out(number: int, *, reason: str, book: Daybook, person: str = "", key: str = "") -> None:
    """Strike an entry out. It stays on record with the reason, and counts no longer; the same ``key`` again does
    nothing more."""
    with opened(book) as store, store.write("reading strike") as writer:
        if key and recorded_before(writer, key, said=repr(("strike", number, reason, person))) is not None:
            return
        problems = _number_problems(writer.connection, number)
        if problems:
            raise Refusal(problems)
        strike(writer, number, reason=reason, day=book.day, person=person)


def listed(where: str, *, book: Daybook, kinds: Sequence[str] = ()) -> Listed:
    """What was read on a roller, at a contact or on a press, or everything."""
    for kind in kinds:
        _kind(kind)
    with looking(book) as connection:
        return Listed(entries=_entries(connection, where, book=book, kinds=kinds), marks=marks(connection))


def _entries(connection: sa.Connection, where: str, *, book: Daybook, kinds: Sequence[str]) -> tuple[Entry, ...]:
    if not where:
        return all_entries(connection, kinds=kinds)
    if names_a_place(where) and "/" in where.rpartition(":")[2]:
        press, unit, contact = press_contact(where)
        found = entries_of_press(connection, press.id, unit=unit.id, kinds=kinds)
        return tuple(each for each in found if each.contact == contact.id)
    return entries_of_roller(connection, meant(connection, where, day=book.day).id, kinds=kinds)


def _seen(connection: sa.Connection, told: Told, *, book: Daybook) -> Seen:
    """The entry as it would stand, with everything it is judged by. Refuses what cannot be found."""
    kind = _kind(told.kind)
    plain = {name: getattr(told, name) for name in ("kind", "temperature_c", "person", "arrival", "grade", "product")}
    instrument = _instrument(connection, told)
    entry = Entry(
        day=book.day,
        impressions=told.impressions,
        remarks=told.remarks,
        instrument_id=instrument.id if instrument else None,
        points=_points(kind, told),
        **plain,
    )
    if kind.subject is Subject.CONTACT:
        return Seen(kind=kind, entry=_at_contact(connection, entry, told), instrument=instrument)
    if kind.subject is Subject.UNIT:
        press, unit = press_unit(told.where)
        entry = replace(entry, press=press.id, unit=unit.id)
        return Seen(kind=kind, entry=entry, instrument=instrument, unit=unit)
    roller = meant(connection, told.where, day=book.day)
    position = positions_on(connection, book.day).get(roller.id)
    at = position.at if position else None
    entry = replace(entry, roller_id=roller.id, press=at.press if at else "", unit=at.unit if at else "")
    facts = facts_on(connection, roller.id, book.day) or roller.facts
    return Seen(kind=kind, entry=entry, instrument=instrument, mark=roller.mark, facts=facts)


def _at_contact(connection: sa.Connection, entry: Entry, told: Told) -> Entry:
    """The entry with the rollers that were fitted at a contact; each must be on the register."""
    press, unit, contact = press_contact(told.where)
    there = fitted(connection, entry.day)
    places = [
        PressPlace(press=press.id, unit=unit.id, place=member)
        for member in (contact.a, contact.b)
        if member not in CYLINDER_IDS
    ]
    empty = [place for place in places if place not in there]
    if empty:
        day = entry.day.isoformat()
        raise Refusal(Problem("place-empty", {"place": str(each), "press": press.id, "day": day}) for each in empty)
    rollers = [there[place] for place in places]
    return replace(
        entry,
        press=press.id,
        unit=unit.id,
        contact=contact.id,
        roller_id=rollers[0],
        partner_id=rollers[1] if len(rollers) > 1 else None,
    )


def _kind(word: str) -> Kind:
    if word not in KINDS:
        values = {"given": word, "known": ", ".join(KINDS), "hint": hint(word, KINDS)}
        raise Refusal(Problem("reading-kind-unknown", values))
    return KINDS[word]


def _points(kind: Kind, told: Told) -> tuple[Point, ...]:
    """Each value with its place: the one that belongs to its number, else the one that was told for all."""
    places = kind.places.get(len(told.values), (told.at,) * len(told.values))
    return tuple(
        Point(value=value, place=place, angle_deg=told.angle_deg)
        for value, place in zip(told.values, places, strict=True)
    )


def _instrument(connection: sa.Connection, told: Told) -> Instrument | None:
    if not told.instrument:
        return None
    found = instrument_named(connection, told.instrument)
    if found is None:
        raise Refusal(Problem("instrument-not-found", {"asked": told.instrument}))
    return found


def _correction_problems(connection: sa.Connection, told: Told) -> list[Problem]:
    """A reading takes the place of one of its kind; anything else is most likely a slip in the number."""
    if told.instead_of is None:
        return []
    found = kind_and_standing(connection, told.instead_of)
    if found is not None and found[0] != told.kind:
        values = {"number": told.instead_of, "was": found[0], "kind": told.kind}
        return [Problem("reading-of-other-kind", values)]
    return _number_problems(connection, told.instead_of)


def _number_problems(connection: sa.Connection, number: int) -> list[Problem]:
    found = kind_and_standing(connection, number)
    if found is None:
        return [Problem("reading-number-unknown", {"number": number})]
    return [] if found[1] else [Problem("reading-replaced-already", {"number": number})]


def again(connection: sa.Connection, entry: Entry) -> Recorded:
    """An entry that was recorded before, with what its hardness says; what was noticed was told then."""
    gauge = next((each for each in all_instruments(connection) if each.id == entry.instrument_id), None)
    return Recorded(entry=entry, notices=(), hardness=hardness_of(entry, gauge) if entry.kind == "hardness" else None)


def _recorded(entry: Entry, seen: Seen) -> Recorded:
    hardness = hardness_of(entry, seen.instrument) if entry.kind == "hardness" else None
    return Recorded(entry=entry, notices=tuple(noticed(seen, hardness)), hardness=hardness)
