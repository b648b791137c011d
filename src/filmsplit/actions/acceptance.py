"""A roller on arrival, by what is on record of it, against its drawing: accept, ask or return. Writes nothing."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from filmsplit.actions.care_histories import drawing_of, shop_history
from filmsplit.actions.register import Daybook, looking, meant
from filmsplit.condition.acceptance import Acceptance, Arrival, Decision, accept
from filmsplit.condition.measured import Reading, newest
from filmsplit.condition.readings import RollerHistory, RunOutReading
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal
from filmsplit.press.words import Material
from filmsplit.records.entries import entries_of_roller
from filmsplit.records.roller_facts import RollerFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What was measured with a ruler or read off the label, and stands nowhere else. ``None``: nobody looked."""

    face_mm: float | None = None
    journal_mm: float | None = None
    compound: Material | None = None
    made_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerArrival:
    """The decision on a roller, what it rests on, and the days whose readings were taken."""

    mark: str
    decision: Decision
    days: tuple[date, ...]
    found: Acceptance


def accept_roller(text: str, *, seen: Label, book: Daybook, limits: Path | None = None) -> RollerArrival:
    """Judge the readings marked as those of the arrival, and the arrival values of the register.

    Refuses a roller without a role: tolerances go by it.
    """
    with looking(book) as connection:
        roller = meant(connection, text, day=book.day)
        entries = entries_of_roller(connection, roller.id)
        history = next((each for each in shop_history(connection, book.day).rollers if each.id == roller.mark), None)
    if history is None or history.role is None:
        raise Refusal(Problem("accept-without-role", {"roller": roller.mark}))
    marked = {each.day for each in entries if each.arrival and each.day <= book.day}
    received = roller.facts.received_on
    days = marked | ({received} if received is not None else set())
    arrival = _arrival(history, roller.facts, days=days, seen=seen, today=book.day)
    found = accept(arrival, drawing_of(roller.facts), role=history.role, table=care_table(limits))
    return RollerArrival(mark=roller.mark, decision=found.decision, days=tuple(sorted(days)), found=found)


def _arrival(history: RollerHistory, facts: RollerFacts, *, days: Set[date], seen: Label, today: date) -> Arrival:
    """The last reading of each kind on the days of the arrival."""
    run_out = _last(history.run_outs, days)
    if run_out is None and facts.arrival_run_out_mm is not None:
        run_out = RunOutReading(on=facts.received_on or today, values_mm=(facts.arrival_run_out_mm,))
    looks = [grade for each in history.grades if each.on in days for grade in each.grades]
    return Arrival(
        on=max(days, default=today),
        hardness=_last(history.hardness, days),
        diameter=_last(history.diameters, days),
        run_out=run_out,
        face_mm=seen.face_mm,
        journal_mm=seen.journal_mm,
        compound=seen.compound,
        made_on=seen.made_on,
        grades=tuple(dict.fromkeys(looks)),
    )


def _last(readings: Sequence[Reading], days: Set[date]) -> Reading | None:
    """The newest; of several on one day the one that was put on record last."""
    return newest([each for each in readings if each.on in days])
