"""Undo something put on record: a row is added that says who and why, nothing is deleted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum

from filmsplit.actions.readings import strike_out
from filmsplit.actions.register import Daybook, looking, opened
from filmsplit.actions.roller_moves import take_back_in
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.history import Line, line_numbered, line_of_entry
from filmsplit.records.instruments import strike_calibration
from filmsplit.records.jobs import job_of, strike_job
from filmsplit.records.positions import roller_moved
from filmsplit.records.solutions import strike_bands, strike_sample
from filmsplit.records.store import Writer
from filmsplit.records.struck import StruckOut, only_facts, strike_facts, strike_plan
from filmsplit.records.submits import recorded_before


class Undoable(Enum):
    """What can be undone, by the source of its line in the history."""

    ENTRY = "entry"
    JOB = "job"
    MOVE = "move"
    CALIBRATION = "calibration"
    PLAN = "plan"
    FACTS = "roller"
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
    if not _struck(writer, line, undoing=undoing, book=book):
        raise Refusal(Problem("history-undone-already", {"number": line.number}))


def _struck(writer: Writer, line: Line, *, undoing: Undoing, book: Daybook) -> bool:
    """Whether it counted until now; a row is added that strikes it out."""
    why = label("history_state.why", reason=undoing.reason, person=undoing.person)
    day, person, reason = book.day, undoing.person, undoing.reason
    match Undoable(line.source):
        case Undoable.JOB:
            return strike_job(writer, line.about, day=day, person=person, reason=reason)
        case Undoable.MOVE:
            return _moved_back(writer, line.number, day=day, reason=why)
        case Undoable.CALIBRATION:
            return strike_calibration(writer, line.number, day=day, reason=why)
        case Undoable.PLAN:
            return _plan_struck(writer, line, said=StruckOut(day=day, person=person, reason=reason))
        case Undoable.FACTS:
            return _facts_struck(writer, line, said=StruckOut(day=day, person=person, reason=reason))
        case Undoable.SAMPLE:
            return strike_sample(writer, line.number, day=day, person=person, reason=reason)
        case Undoable.BANDS:
            return strike_bands(writer, line.number, day=day, person=person, reason=reason)
        case _:
            raise ValueError(line.source)


def _moved_back(writer: Writer, number: int, *, day: date, reason: str) -> bool:
    if roller_moved(writer.connection, number) is None:
        return False
    take_back_in(writer, number, day=day, reason=reason)
    return True


def _plan_struck(writer: Writer, line: Line, *, said: StruckOut) -> bool:
    """A plan whose job was logged under its code stays: the job is undone first."""
    logged = job_of(writer.connection, line.about)
    if logged is not None:
        raise Refusal(Problem("history-plan-logged", {"code": line.about, "title": logged.title}))
    return strike_plan(writer, line.number, said=said)


def _facts_struck(writer: Writer, line: Line, *, said: StruckOut) -> bool:
    """The only facts of a roller stay: it would be on no register without them."""
    if only_facts(writer.connection, line.number):
        raise Refusal(Problem("history-facts-only", {"mark": line.about}))
    return strike_facts(writer, line.number, said=said)
