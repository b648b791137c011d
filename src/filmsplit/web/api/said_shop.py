"""What the API says of the shop today, of jobs, words and the session."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from filmsplit.actions.today import PressToday, Reason, ToDo
from filmsplit.library.glossary import Entry
from filmsplit.records.jobs import JobRecord
from filmsplit.web.api.answering import ProblemSaid, said
from filmsplit.web.api.said_press import PressSaid, VerdictSaid, press_said, verdict_said
from filmsplit.web.api.said_rollers import DueSaid, due_said


@dataclass(frozen=True, slots=True, kw_only=True)
class PressTodaySaid:
    """A press with the verdicts on its rollers, the gravest first, and what is overdue on it."""

    press: PressSaid
    verdicts: tuple[VerdictSaid, ...]
    overdue: tuple[DueSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDoSaid:
    """One thing to do now. ``why`` is there where a reading or a date says more than the reason."""

    reason: Reason
    press: str
    roller: str
    rollers: int
    why: ProblemSaid | None
    due: DueSaid | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayAnswer:
    """The presses, the last jobs, and no more than three things to do, the weightiest first."""

    filmsplit: Literal["today 2"] = "today 2"
    day: date
    presses: tuple[PressTodaySaid, ...]
    jobs: tuple[JobRecord, ...]
    to_do: tuple[ToDoSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAnswer:
    """A job on record."""

    filmsplit: Literal["job 1"] = "job 1"
    job: JobRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsAnswer:
    """Jobs on record, the newest first."""

    filmsplit: Literal["jobs 1"] = "jobs 1"
    jobs: tuple[JobRecord, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WordSaid:
    """A word of the trade."""

    slug: str
    term: str
    synonyms: tuple[str, ...]
    meaning: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsAnswer:
    """Words, those nearest to what was asked for first."""

    filmsplit: Literal["words 1"] = "words 1"
    words: tuple[WordSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionAnswer:
    """The token that everything that changes something must bring in ``header``, and who the person is."""

    filmsplit: Literal["session 1"] = "session 1"
    header: str
    token: str


def press_today_said(press: PressToday) -> PressTodaySaid:
    """A press with its verdicts."""
    return PressTodaySaid(
        press=press_said(press.kept),
        verdicts=tuple(map(verdict_said, press.verdicts)),
        overdue=tuple(map(due_said, press.overdue)),
    )


def to_do_said(todo: ToDo) -> ToDoSaid:
    """One thing to do."""
    return ToDoSaid(
        reason=todo.reason,
        press=todo.press,
        roller=todo.roller,
        rollers=todo.rollers,
        why=None if todo.finding is None else said(todo.finding.problem),
        due=None if todo.due is None else due_said(todo.due),
    )


def word_said(entry: Entry) -> WordSaid:
    """A word."""
    return WordSaid(
        slug=entry.slug, term=entry.term, synonyms=entry.synonyms, meaning=entry.meaning, source=entry.source
    )
