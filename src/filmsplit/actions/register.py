"""The register of rollers: put on it from a press file or one by one, moved, retired, and shown."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from filmsplit.actions.find import find_press
from filmsplit.actions.places import PARTED, names_a_place, press_place
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Roller
from filmsplit.press.asked import units_asked
from filmsplit.press.words import Material, Role
from filmsplit.records.entries import Entry, counts_of_roller, entries_of_roller
from filmsplit.records.hardness import Hardness, hardness_of
from filmsplit.records.instruments import all_instruments
from filmsplit.records.positions import Position, PressPlace, Whereabouts, fitted, history, move, positions_on
from filmsplit.records.roller_facts import RollerFacts, fact_rows, no_facts
from filmsplit.records.rollers import (
    RegisteredRoller,
    add_roller,
    all_rollers,
    marks,
    roller_meant,
    roller_of,
    state_facts,
)
from filmsplit.records.store import Store

LONGEST_MARK = 40
MOST_ENTRIES = 60
"""Entries on the page of a roller: about a year of rounds. All of them are told by `reading list`."""


@dataclass(frozen=True, slots=True)
class Daybook:
    """The file of the shop's records, and the day that something is put on record for, or looked at."""

    records: Path
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Registered:
    """What putting a press's rollers on the register did."""

    added: tuple[RegisteredRoller, ...]
    there_already: tuple[RegisteredRoller, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A roller and where it is; ``position`` is ``None`` where nobody has said."""

    roller: RegisteredRoller
    position: Position | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerPage:
    """What is on record about one roller, the oldest first: all its places, and the newest of its entries.

    ``counts`` says how many entries of each kind there are in all. ``marks`` names the other rollers of its
    contacts; ``hardness`` is what each hardness reading says, by the number of its entry.
    """

    roller: RegisteredRoller
    history: tuple[Position, ...]
    entries: tuple[Entry, ...]
    marks: Mapping[int, str]
    hardness: Mapping[int, Hardness]
    counts: Mapping[str, int]


def register(reference: str, *, book: Daybook, unit: str | None = None) -> Registered:
    """Put every roller of a press on the register, fitted at its place, with what the press file knows of it.

    Places that have a roller on the register already are left alone. All of them are added, or none.
    """
    press = find_press(reference).press
    places = [
        (PressPlace(press=press.id, unit=each.id, place=roller.id), roller)
        for each in units_asked(press, unit)
        for roller in each.rollers
    ]
    with opened(book) as store, store.write("roller register") as writer:
        there = fitted(writer.connection, book.day)
        new = [(place, roller) for place, roller in places if place not in there]
        named = {place: _mark_for(press, place) for place, _ in new}
        _refuse_marks(writer.connection, tuple(named.values()))
        added = []
        for place, roller in new:
            facts = facts_of_file(press, place.unit, roller)
            added.append(add_roller(writer, named[place], facts, since=book.day, invented=press.invented))
            move(writer, added[-1], Position(day=book.day, whereabouts=Whereabouts.PRESS, at=place))
        return Registered(
            added=tuple(roller_of(writer.connection, each) for each in added),
            there_already=tuple(roller_of(writer.connection, there[place]) for place, _ in places if place in there),
        )


def facts_of_file(press: Press, unit: str, roller: Roller) -> RollerFacts:
    """What a press file really knows of a roller: what is assumed there stays empty here."""

    def known(*path: str) -> bool:
        whole = ("units", unit, "rollers", roller.id, *path)
        return not any(press.is_assumed(*whole[:end]) for end in range(5, len(whole) + 1))

    facts = replace(no_facts(), role=roller.role.value)
    for name in ("drawn_diameter_mm", "face_mm"):
        if known(name):
            facts = replace(facts, **{name: getattr(roller, name)})
    if known("core", "journal_mm"):
        facts = replace(facts, journal_mm=roller.core.journal_mm)
    if known("core", "ends"):
        facts = replace(facts, ends=roller.core.ends)
    cover = roller.cover
    if cover is None:
        return facts
    if known("cover", "material"):
        facts = replace(facts, cover_material=cover.material.value)
    if known("cover", "thickness_mm"):
        facts = replace(facts, cover_thickness_mm=cover.thickness_mm)
    if known("cover", "hardness_shore_a") and roller.is_soft:
        facts = replace(facts, drawn_hardness_shore_a=cover.hardness_shore_a)
    return facts


def add(mark: str, facts: RollerFacts, *, book: Daybook, note: str = "") -> RegisteredRoller:
    """Put one roller on the register, on the shelf."""
    problems = [*_mark_problems(mark), *fact_problems(facts)]
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("roller add") as writer:
        _refuse_marks(writer.connection, [mark])
        roller_id = add_roller(writer, mark.strip(), facts, since=book.day)
        move(writer, roller_id, Position(day=book.day, whereabouts=Whereabouts.SHELF, note=note))
        return roller_of(writer.connection, roller_id)


def change(text: str, facts: Mapping[str, Any], *, book: Daybook) -> RegisteredRoller:
    """State some facts of a roller anew, from a day on; the others stay as they are."""
    with opened(book) as store, store.write("roller change") as writer:
        roller = meant(writer.connection, text, day=book.day)
        whole = replace(roller.facts, **facts)
        problems = tuple(fact_problems(whole))
        if problems:
            raise Refusal(problems)
        state_facts(writer, roller.id, whole, since=book.day)
        return roller_of(writer.connection, roller.id)


def fact_problems(facts: RollerFacts) -> Iterator[Problem]:
    """What cannot be among the facts of a roller. NaN is out of every range."""
    rows = fact_rows()
    for name, value in asdict(facts).items():
        row = rows[name]
        if isinstance(value, (int, float)) and not (row.low or 0) <= value <= (row.high or 0):
            values = {"what": name, "given": value, "low": row.low, "high": row.high, "unit": row.unit}
            yield Problem("roller-fact-out-of-range", values, (name,))
    for name, words in (("role", [each.value for each in Role]), ("cover_material", [each.value for each in Material])):
        given = getattr(facts, name)
        if given and given not in words:
            yield Problem("roller-word-unknown", {"what": name, "given": given, "known": ", ".join(words)}, (name,))
    core, drawn = facts.core_diameter_mm, facts.drawn_diameter_mm
    if core is not None and drawn is not None and core > drawn:
        yield Problem("roller-core-too-thick", {"core_mm": core, "drawn_mm": drawn}, ("core_diameter_mm",))


def listed(*, book: Daybook, press: str = "") -> tuple[Standing, ...]:
    """The register by mark, or what is on one press by place. Looking makes no file."""
    if not book.records.exists():
        return ()
    with opened(book) as store, store.read() as connection:
        where = positions_on(connection, book.day)
        everyone = [Standing(roller=each, position=where.get(each.id)) for each in all_rollers(connection)]
    if not press:
        return tuple(everyone)
    on_press = [each for each in everyone if each.position and each.position.at and each.position.at.press == press]
    return tuple(sorted(on_press, key=_place_of))


def page(text: str, *, book: Daybook) -> RollerPage:
    """What is on record about the roller meant."""
    with looking(book) as connection:
        return page_of(connection, meant(connection, text, day=book.day))


def page_of(connection: sa.Connection, roller: RegisteredRoller) -> RollerPage:
    """The page of a roller: a fixed number of queries, however much is on record about it."""
    entries = entries_of_roller(connection, roller.id, most=MOST_ENTRIES)
    gauges = {each.id: each for each in all_instruments(connection)}
    return RollerPage(
        roller=roller,
        history=history(connection, roller.id),
        entries=entries,
        marks=marks(connection),
        hardness={
            each.number: hardness_of(each, gauges.get(each.instrument_id or 0))
            for each in entries
            if each.kind == "hardness"
        },
        counts=counts_of_roller(connection, roller.id),
    )


def meant(connection: sa.Connection, text: str, *, day: date) -> RegisteredRoller:
    """The roller with a mark or a code, or the one that was fitted at a place on a day."""
    if names_a_place(text):
        place = press_place(text)
        there = fitted(connection, day).get(place)
        if there is None:
            raise Refusal(Problem("place-empty", {"place": str(place), "press": place.press, "day": day.isoformat()}))
        return roller_of(connection, there)
    found = roller_meant(connection, text)
    if found is None:
        raise Refusal(Problem("roller-not-found", {"asked": text}))
    return found


@contextlib.contextmanager
def looking(book: Daybook) -> Iterator[sa.Connection]:
    """The records, to look only. Without a file there is no roller to be found in it."""
    if not book.records.exists():
        raise Refusal(Problem("records-not-there", {"file": str(book.records)}))
    with opened(book) as store, store.read() as connection:
        yield connection


@contextlib.contextmanager
def opened(book: Daybook) -> Iterator[Store]:
    """The records, to write in or to read, and closed again."""
    store = Store.at(book.records)
    try:
        yield store
    finally:
        store.close()


def _place_of(each: Standing) -> PressPlace:
    assert each.position is not None
    assert each.position.at is not None
    return each.position.at


def _mark_for(press: Press, place: PressPlace) -> str:
    """A mark to stamp: press and place, with the unit where there are several."""
    return "-".join([place.press, *([place.unit] if len(press.units) > 1 else []), place.place])


def _mark_problems(mark: str) -> Iterator[Problem]:
    if not mark.strip() or len(mark) > LONGEST_MARK or PARTED in mark or not mark.isprintable():
        yield Problem("roller-mark-unusable", {"mark": mark, "most": LONGEST_MARK, "sign": PARTED})


def _refuse_marks(connection: sa.Connection, wanted: Sequence[str]) -> None:
    taken = [mark for mark in wanted if roller_meant(connection, mark) is not None]
    if taken:
        raise Refusal(Problem("roller-mark-taken", {"mark": mark}) for mark in taken)
