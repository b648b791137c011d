"""Rollers change places: fitted, swapped, put on the shelf, sent out, retired; and a move that was wrong taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import sqlalchemy as sa

from filmsplit.actions.places import names_a_place, press_place
from filmsplit.actions.register import Daybook, Standing, meant, opened
from filmsplit.messages import Problem, Refusal
from filmsplit.records.positions import (
    Position,
    Whereabouts,
    fitted,
    history,
    move,
    moved_together,
    strike_position,
)
from filmsplit.records.rollers import RegisteredRoller, roller_of
from filmsplit.records.store import Writer

OFF_PRESS = (Whereabouts.SHELF, Whereabouts.SENT_OUT)
"""Where a roller can be moved to besides a press. To retire it is a step of its own."""


def move_roller(text: str, to: str, *, book: Daybook, note: str = "", swap: bool = False) -> tuple[Standing, ...]:
    """Move a roller to a place on a press, to the shelf or out. Returns what was moved, the roller asked for first.

    Where another roller is fitted at that place, ``swap`` sends it to where this one was; otherwise it is refused.
    """
    with opened(book) as store, store.write("roller move") as writer:
        connection = writer.connection
        roller = meant(connection, text, day=book.day)
        before = _last(connection, roller, day=book.day)
        position = _aimed(to, day=book.day, note=note)
        moves = [(roller, position)]
        there = fitted(connection, book.day).get(position.at) if position.at else None
        if there is not None and there != roller.id:
            other = roller_of(connection, there)
            if not swap:
                raise Refusal(Problem("place-taken", {"place": str(position.at), "mark": other.mark}))
            _last(connection, other, day=book.day)
            moves.append((other, replace(before, day=book.day)))
        for each, goes in moves:
            move(writer, each.id, goes)
        return tuple(Standing(roller=each, position=goes) for each, goes in moves)


def retire_roller(text: str, *, book: Daybook, reason: str) -> Standing:
    """Take a roller out of use. It and all that was read on it stay on record."""
    with opened(book) as store, store.write("roller retire") as writer:
        roller = meant(writer.connection, text, day=book.day)
        _last(writer.connection, roller, day=book.day)
        position = Position(day=book.day, whereabouts=Whereabouts.RETIRED, note=reason)
        move(writer, roller.id, position)
        return Standing(roller=roller, position=position)


def take_back_move(text: str, *, book: Daybook, reason: str) -> tuple[Standing, ...]:
    """Take the last move of a roller back, and with it the other half of a swap. What was wrong stays on record."""
    with opened(book) as store, store.write("roller move, taken back") as writer:
        roller = meant(writer.connection, text, day=book.day)
        return take_back_in(writer, history(writer.connection, roller.id)[-1].number, day=book.day, reason=reason)


def take_back_in(writer: Writer, number: int, *, day: date, reason: str) -> tuple[Standing, ...]:
    """Take the move of that number back as ``take_back_move`` does; :class:`Refusal` where others came after it."""
    connection = writer.connection
    together = moved_together(connection, number)
    for each, moved in together.items():
        past = history(connection, each)
        if len(past) < 2 or past[-1].number != moved:
            raise Refusal(Problem("move-not-taken-back", {"mark": roller_of(connection, each).mark}))
    for each, moved in together.items():
        strike_position(writer, each, moved, day=day, reason=reason)
    return tuple(
        Standing(roller=roller_of(connection, each), position=history(connection, each)[-1]) for each in together
    )


def _last(connection: sa.Connection, roller: RegisteredRoller, *, day: date) -> Position:
    """Where a roller is; a move must not be dated before the last one."""
    last = history(connection, roller.id)[-1]
    if last.day > day:
        values = {"mark": roller.mark, "last": last.day.isoformat(), "day": day.isoformat()}
        raise Refusal(Problem("roller-moved-later", values))
    return last


def _aimed(to: str, *, day: date, note: str) -> Position:
    if names_a_place(to):
        return Position(day=day, whereabouts=Whereabouts.PRESS, at=press_place(to), note=note)
    words = {each.value: each for each in OFF_PRESS}
    if to not in words:
        raise Refusal(Problem("roller-place-unknown", {"given": to, "known": ", ".join(words)}))
    return Position(day=day, whereabouts=words[to], note=note)
