"""A round at a press, contact by contact behind the gate. It is on record from its first step, so it can be left and
gone on with, on this computer or on another, after whatever stopped it.

What is read goes on record at once, together with the step of the round: there is no draft that could be lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import sqlalchemy as sa

from filmsplit.actions.reading_round import has_stripe_to_read
from filmsplit.actions.register import Daybook, looking, opened
from filmsplit.actions.shop import KeptPress, Shop, kept_press, kept_presses
from filmsplit.library.procedures import procedure
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.gate import Facts, Passage, Statement, open_gate, passages_of
from filmsplit.procedures.words import Act
from filmsplit.records.entries import Entry, entries_of_press
from filmsplit.records.instruments import all_instruments, instrument_named
from filmsplit.records.rounds import (
    Happened,
    Round,
    RoundStep,
    add_step,
    begin_round,
    newest_rounds,
    round_numbered,
    round_of_run,
)
from filmsplit.records.store import Writer
from filmsplit.records.submits import recorded_before

MOST_ROUNDS = 20
ALL_TRUE = Facts(guards_in_place=True, lock_at_hand=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundContact:
    """A contact of the round. ``last`` is what was read there before, ``read`` what was read in this round."""

    number: int
    contact: Contact
    last: Entry | None
    read: Entry | None
    left_out: bool

    @property
    def done(self) -> bool:
        return self.read is not None or self.left_out


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundNow:
    """Where a round stands. ``shut`` says why the gate is, nothing where it is open; ``stated``: its last statement."""

    round: Round
    kept: KeptPress
    press: Press
    unit: Unit
    contacts: tuple[RoundContact, ...]
    passage: Passage
    shut: tuple[Problem, ...]
    stated: RoundStep | None

    def contact(self, id: str) -> RoundContact:
        """The contact called ``id``; :class:`Refusal` if the round has none."""
        found = next((each for each in self.contacts if each.contact.id == id), None)
        if found is None:
            raise Refusal(Problem("place-not-on-unit", {"place": id, "press": self.press.id, "unit": self.unit.id}))
        return found

    @property
    def ahead(self) -> tuple[RoundContact, ...]:
        """The contacts that are neither read nor left out."""
        return tuple(each for each in self.contacts if not each.done)

    def next_after(self, id: str) -> RoundContact | None:
        """The next contact to read after ``id``, from the first again where the end is reached."""
        at = self.contact(id).number
        others = [each for each in self.ahead if each.contact.id != id]
        return next((each for each in others if each.number > at), others[0] if others else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtGate:
    """What is stated at the gate, and what is read with from here on. Nothing is true until somebody said so."""

    statement: Statement
    facts: Facts
    instrument: str = ""
    temperature_c: float | None = None


def begin(shop: Shop, name: str, *, unit: str, book: Daybook, key: str) -> int:
    """Begin a round at a unit; its number. The same ``key`` again begins none, and gives the number of the first."""
    press = _press(kept_press(shop, name))
    where = units_asked(press, unit)[0]
    begun = Round(day=book.day, press=press.id, unit=where.id)
    with opened(book) as store, store.write("round begin") as writer:
        before = recorded_before(writer, key, said=repr(("begin", press.id, where.id)))
        if before is None:
            return begin_round(writer, begun)
        found = round_of_run(writer.connection, before)
        assert found is not None
        return found.number


def rounds_in(book: Daybook) -> tuple[Round, ...]:
    """The last rounds, the newest first. A shop without records has none."""
    if not book.records.exists():
        return ()
    with looking(book) as connection:
        return newest_rounds(connection, most=MOST_ROUNDS)


def names_of_gauges(book: Daybook) -> tuple[str, ...]:
    """What stripes can be read with: the instruments on record that read mm."""
    with looking(book) as connection:
        return tuple(each.name for each in all_instruments(connection) if each.unit == "mm")


def round_now(shop: Shop, number: int, *, book: Daybook) -> RoundNow:
    """Where the round of that number stands; :class:`Refusal` if there is none."""
    with looking(book) as connection:
        return standing_of(connection, number, shop=shop, book=book)


def standing_of(connection: sa.Connection, number: int, *, shop: Shop, book: Daybook) -> RoundNow:
    """The same, as a transaction sees it."""
    found = round_numbered(connection, number)
    if found is None:
        raise Refusal(Problem("round-unknown", {"number": number}))
    kept = _kept_by_id(shop, found.press)
    press = _press(kept)
    unit = units_asked(press, found.unit)[0]
    passage = reading_passage(unit)
    return RoundNow(
        round=found,
        kept=kept,
        press=press,
        unit=unit,
        contacts=tuple(_contacts(connection, found, unit=unit)),
        passage=passage,
        shut=_shut(found, passage, book=book),
        stated=_last(found, Happened.GATE),
    )


def reading_passage(unit: Unit) -> Passage:
    """The steps in which stripes are read: the first time somebody measures with the press isolated and locked."""
    passages = passages_of(fitted(procedure("set-rollers"), unit))
    return next(each for each in passages if each.hands_in and any(step.act is Act.MEASURE for step in each.steps))


def pass_gate(shop: Shop, number: int, *, at: AtGate, book: Daybook, key: str) -> None:
    """Put on record what was stated, if it opens the gate; :class:`Refusal` with every reason if it does not."""
    with opened(book) as store, store.write("round gate") as writer:
        said = repr(("gate", number, at))
        if recorded_before(writer, key, said=said) is not None:
            return
        now = _going_on(writer, number, shop=shop, book=book)
        open_gate(now.passage, at.statement, facts=at.facts, today=book.day)
        gauge = instrument_named(writer.connection, at.instrument) if at.instrument else None
        step = RoundStep(
            what=Happened.GATE,
            day=book.day,
            person=at.statement.person.strip(),
            instrument_id=None if gauge is None else gauge.id,
            temperature_c=at.temperature_c,
        )
        add_step(writer, number, step)


def happened(  # noqa: PLR0913 - all but two are named
    shop: Shop, number: int, *, what: Happened, book: Daybook, key: str, contact: str = "", person: str = ""
) -> None:
    """Put on record that rollers moved, that a contact is left out, or that the round is ended.

    By ``person``, or else by whoever stated the gate.
    """
    with opened(book) as store, store.write(f"round {what.value}") as writer:
        if recorded_before(writer, key, said=repr((what.value, number, contact))) is not None:
            return
        now = _going_on(writer, number, shop=shop, book=book)
        if contact:
            now.contact(contact)
        person = person or (now.stated.person if now.stated is not None else "")
        add_step(writer, number, RoundStep(what=what, day=book.day, person=person, contact=contact))


def _going_on(writer: Writer, number: int, *, shop: Shop, book: Daybook) -> RoundNow:
    now = standing_of(writer.connection, number, shop=shop, book=book)
    if now.round.ended:
        raise Refusal(Problem("round-ended", {"number": number}))
    return now


def _shut(found: Round, passage: Passage, *, book: Daybook) -> tuple[Problem, ...]:
    """Why hands stay out of the press now: what was stated counts on its day, and until rollers move."""
    stated = _last(found, Happened.GATE)
    since = [each.what for each in found.steps if each.what in (Happened.GATE, Happened.MOVED)]
    moved = since[-1:] == [Happened.MOVED]
    statement = Statement()
    if stated is not None:
        statement = Statement(
            person=stated.person,
            signed_off=True,
            isolated_and_locked=True,
            start_tried=True,
            guards_and_stops_tested=True,
            made_on=stated.day,
            spell=passage.spell - 1 if moved else passage.spell,
        )
    try:
        open_gate(passage, statement, facts=Facts() if stated is None else ALL_TRUE, today=book.day)
    except Refusal as refusal:
        return refusal.problems
    return ()


def _last(found: Round, what: Happened) -> RoundStep | None:
    return next((each for each in reversed(found.steps) if each.what is what), None)


def _contacts(connection: sa.Connection, found: Round, *, unit: Unit) -> Iterator[RoundContact]:
    """In the order of the press file, as on the paper of a round."""
    soft = {roller.id for roller in unit.rollers if roller.is_soft}
    stripes = entries_of_press(connection, found.press, unit=unit.id, kinds=("stripe",))
    own = {each.entry_id for each in found.steps if each.what is Happened.READ}
    read = {each.contact: each for each in stripes if each.number in own}
    before: Mapping[str, Entry] = {each.contact: each for each in stripes if each.number not in own}
    out = {each.contact for each in found.steps if each.what is Happened.LEFT_OUT}
    contacts = [each for each in unit.contacts if has_stripe_to_read(each, soft=soft)]
    for number, contact in enumerate(contacts, 1):
        yield RoundContact(
            number=number,
            contact=contact,
            last=before.get(contact.id),
            read=read.get(contact.id),
            left_out=contact.id in out and contact.id not in read,
        )


def _kept_by_id(shop: Shop, press: str) -> KeptPress:
    """The press file of the press with an id: most are called like their press."""
    likely = sorted(kept_presses(shop), key=lambda each: each.name != press)
    found = next((each for each in likely if each.press is not None and each.press.id == press), None)
    if found is None:
        raise Refusal(Problem("round-press-gone", {"press": press}))
    return found


def _press(kept: KeptPress) -> Press:
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept.press
