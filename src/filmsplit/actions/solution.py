"""Fountain solution: samples go on record, and each press's are judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import sqlalchemy as sa

from filmsplit.actions.find import find_press
from filmsplit.actions.places import names_a_place, press_unit
from filmsplit.actions.register import Daybook, looking, opened
from filmsplit.actions.shop import KeptPress
from filmsplit.actions.solution_checks import band_problems, doubts_of, problems_of
from filmsplit.condition.solution import Sample, SolutionVerdict, Where, judge_solution
from filmsplit.condition.solution_bands import SolutionBands
from filmsplit.condition.titration import Dosed, TitrationLine, titration_line
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press
from filmsplit.press.asked import units_asked
from filmsplit.records.solutions import (
    bands_of,
    log_sample,
    samples_of,
    samples_of_run,
    say_bands,
    strike_sample,
)
from filmsplit.records.submits import recorded_before
from filmsplit.units.conductivity import ConductivitySystem

_MICROSIEMENS = ConductivitySystem.MICROSIEMENS


@dataclass(frozen=True, slots=True, kw_only=True)
class PressSolution:
    """The solution of a press: what is on record, the oldest first, what it is held to, and the judgement."""

    press: Press
    samples: tuple[Sample, ...]
    bands: SolutionBands
    judged: SolutionVerdict


def press_sampled(text: str) -> tuple[Press, str]:
    """The press that is meant, and its unit where one is named: ``heron``, ``heron:B``."""
    if not names_a_place(text):
        return find_press(text).press, ""
    press, unit = press_unit(text)
    return press, unit.id


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """How something is told: ``sure`` (yes, it does read so), the sender's own ``key`` for it, and the unit that
    conductivity is ``written`` in."""

    sure: bool = False
    key: str = ""
    written: ConductivitySystem = _MICROSIEMENS


def put_sample(press: Press, sample: Sample, *, book: Daybook, telling: Telling) -> Sample:
    """Put one sample on record; the same key again changes nothing. It is given back with its number.

    :class:`Refusal` with everything that cannot be, or with what a person has to say yes to.
    """
    whole = replace(sample, press=press.id, day=book.day, series=0)
    problems = [*_unit_problems(press, sample.unit), *problems_of(whole, written=telling.written)]
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("solution add") as writer:
        before = recorded_before(writer, telling.key, said=repr(whole)) if telling.key else None
        if before is not None:
            return samples_of_run(writer.connection, before)[0]
        known = samples_of(writer.connection, press.id)
        doubts = () if telling.sure else tuple(doubts_of(whole, known, written=telling.written))
        if doubts:
            raise Refusal(doubts)  # the transaction is undone: nothing is on record yet
        return replace(whole, number=log_sample(writer, whole))


def put_titration(
    press: Press, readings: Sequence[Dosed], *, book: Daybook, person: str = "", telling: Telling
) -> TitrationLine:
    """Put the readings of a titration line on record together, and give the line back, straight or not.

    :class:`Refusal` where a reading cannot be, or no line rises through them.
    """
    line = titration_line(readings)
    samples = [_reading(each, press=press, book=book, person=person) for each in line.readings]
    problems = [problem for each in samples for problem in problems_of(each, written=telling.written)]
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("solution titrate") as writer:
        if not telling.key or recorded_before(writer, telling.key, said=repr(samples)) is None:
            for each in samples:
                log_sample(writer, each)
    return line


def _reading(reading: Dosed, *, press: Press, book: Daybook, person: str) -> Sample:
    return Sample(
        day=book.day,
        press=press.id,
        where=Where.MIX if reading.dose_percent else Where.WATER,
        fresh=True,
        us_per_cm=reading.us_per_cm,
        dose_percent=reading.dose_percent,
        person=person,
        series=1,
    )


def say_solution_bands(press: Press, bands: SolutionBands, *, book: Daybook, person: str = "", key: str = "") -> None:
    """Put on record what the solution of a press is held to from today on."""
    problems = tuple(band_problems(bands))
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("solution bands") as writer:
        if not key or recorded_before(writer, key, said=repr((press.id, bands, person))) is None:
            say_bands(writer, press.id, bands=bands, day=book.day, person=person)


def strike_out(number: int, *, reason: str, book: Daybook, person: str = "") -> None:
    """Strike a sample out. It stays on record with the reason, and counts no longer."""
    with opened(book) as store, store.write("solution strike") as writer:
        if not strike_sample(writer, number, day=book.day, person=person, reason=reason):
            raise Refusal(Problem("history-undone-already", {"number": number}))


def solution_of(press: Press, *, book: Daybook, written: ConductivitySystem = _MICROSIEMENS) -> PressSolution:
    """The solution of a press. A shop without records has read nothing of it."""
    if not book.records.exists():
        return _judged(press, (), bands=SolutionBands(), written=written)
    with looking(book) as connection:
        return _solution(connection, press, book=book, written=written)


def solutions_in(
    presses: Sequence[KeptPress], *, book: Daybook, written: ConductivitySystem = _MICROSIEMENS
) -> tuple[tuple[KeptPress, PressSolution], ...]:
    """The solution of every usable press among those of a shop."""
    usable = [(kept, kept.press) for kept in presses if kept.press is not None]
    if not book.records.exists():
        return tuple((kept, _judged(press, (), bands=SolutionBands(), written=written)) for kept, press in usable)
    with looking(book) as connection:
        return tuple((kept, _solution(connection, press, book=book, written=written)) for kept, press in usable)


def _solution(connection: sa.Connection, press: Press, *, book: Daybook, written: ConductivitySystem) -> PressSolution:
    return _judged(
        press, samples_of(connection, press.id), bands=bands_of(connection, press.id, on=book.day), written=written
    )


def _judged(
    press: Press, samples: tuple[Sample, ...], *, bands: SolutionBands, written: ConductivitySystem
) -> PressSolution:
    judged = judge_solution(samples, bands, written=written.value)
    return PressSolution(press=press, samples=samples, bands=bands, judged=judged)


def _unit_problems(press: Press, unit: str) -> tuple[Problem, ...]:
    """A unit is named only where the press has it."""
    try:
        units_asked(press, unit or None)
    except Refusal as refusal:
        return refusal.problems
    return ()
