"""Undo something put on record: a row is added that says who and why, nothing is deleted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from filmsplit.actions.readings import strike_out
from filmsplit.actions.register import Daybook, looking, opened
from filmsplit.actions.roller_moves import take_back_in
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.history import Line, line_numbered, line_of_entry
from filmsplit.records.instruments import strike_calibration
from filmsplit.records.jobs import strike_job
from filmsplit.records.positions import roller_moved
from filmsplit.records.solutions import strike_bands, strike_sample
from filmsplit.records.store import Writer
from filmsplit.records.submits import recorded_before


class Undoable(Enum):
    """What can be undone, by the source of its line in the history."""

    ENTRY = "entry"
    JOB = "job"
    MOVE = "move"
    CALIBRATION = "calibration"
    SAMPLE = "sample"
    BANDS = "solution-band"


@dataclass(frozen=True, slots=True, kw_only=True)
class Undoing:
    """Who undoes it and why; ``key`` is that of the form: sent again, nothing more is undone."""

    person: str
    reason: str
    key: str


def line_to_undo(kind: Undoable, number: int, *, book: Daybook) -> Line:
    """The line as the history has it; :class:`Refusal` if there is none of that number."""
    with looking(book) as connection:
        own = kind is Undoable.ENTRY
        found = line_of_entry(connection, number) if own else line_numbered(connection, kind.value, number)
    if found is None:
        raise Refusal(Problem("reading-number-unknown", {"number": number}))
    return found


def undo(kind: Undoable, number: int, *, undoing: Undoing, book: Daybook) -> None:
    """Undo what has that number. It stays on record, and counts no longer.

    :class:`Refusal` where it does not count already, or where something later rests upon it.
    """
    if not undoing.reason or not undoing.person:
        raise Refusal(Problem("history-undo-unsaid"))
    if kind is Undoable.ENTRY:
        strike_out(number, reason=undoing.reason, person=undoing.person, key=undoing.key, book=book)
        return
    line = line_to_undo(kind, number, book=book)
    with opened(book) as store, store.write(f"{kind.value} undo") as writer:
        said = repr(("undo", kind.value, number, undoing.reason, undoing.person))
        if recorded_before(writer, undoing.key, said=said) is None:
            _undo(writer, line, undoing=undoing, book=book)


def _undo(writer: Writer, line: Line, *, undoing: Undoing, book: Daybook) -> None:
    why = label("history_state.why", reason=undoing.reason, person=undoing.person)
    day, person, reason = book.day, undoing.person, undoing.reason
    gone = Refusal(Problem("history-undone-already", {"number": line.number}))
    match Undoable(line.source):
        case Undoable.JOB:
            if not strike_job(writer, line.about, day=day, person=person, reason=reason):
                raise gone
        case Undoable.MOVE:
            if roller_moved(writer.connection, line.number) is None:
                raise gone
            take_back_in(writer, line.number, day=day, reason=why)
        case Undoable.CALIBRATION:
            if not strike_calibration(writer, line.number, day=day, reason=why):
                raise gone
        case Undoable.SAMPLE:
            if not strike_sample(writer, line.number, day=day, person=person, reason=reason):
                raise gone
        case Undoable.BANDS:
            if not strike_bands(writer, line.number, day=day, person=person, reason=reason):
                raise gone
