"""The due board on two clocks; dates and counts by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from condition.histories import DRAWING, START, day, event, roller
from filmsplit.condition.due import CounterReading, DueTask, PressLog, due_board, impressions_on, pace_per_day
from filmsplit.condition.words import EventKind
from filmsplit.library.roller_limits import usual_table
from filmsplit.press.words import Material

TODAY = day(100)
STEADY = tuple(CounterReading(on=day(n), impressions=1000.0 * n) for n in range(0, 101, 10))


def _board(*rollers: object, events: tuple[object, ...] = (), counter: object = ()) -> dict[EventKind, DueTask]:
    log = PressLog(press="heron", rollers=rollers, events=events, counter=counter)  # type: ignore[arg-type]
    return {task.task: task for task in due_board(log, usual_table(), today=TODAY)}


def test_days_count_from_the_last_time() -> None:
    board = _board(roller(events=(event(95, EventKind.DESCALED),)))
    assert board[EventKind.DESCALED].on == day(102)  # weekly (common practice)
    assert board[EventKind.DESCALED].overdue_days(TODAY) == -2


def test_what_was_never_done_leads_the_board() -> None:
    log = PressLog(press="heron", rollers=(roller(events=(event(95, EventKind.DESCALED),)),))
    first = due_board(log, usual_table(), today=TODAY)[0]
    assert first.last is None
    assert first.overdue_days(TODAY) is None


def test_the_roller_left_out_longest_decides() -> None:
    board = _board(
        roller(id="F1", events=(event(95, EventKind.DEGLAZED),)),
        roller(id="F2", events=(event(60, EventKind.DEGLAZED),)),
    )
    assert board[EventKind.DEGLAZED].rollers == ("F2",)
    assert board[EventKind.DEGLAZED].on == day(60 + 21)  # every 2 to 4 weeks (common practice)


def test_impressions_run_out_before_days() -> None:
    """250 000 impressions at 10 000 a day are 25 days, five before the 30 of the calendar."""
    counter = tuple(replace(each, impressions=10 * each.impressions) for each in STEADY)
    task = _board(roller(events=(event(90, EventKind.STRIPES_READ),)), counter=counter)[EventKind.STRIPES_READ]
    assert task.on == day(115)
    assert task.clock == "impressions"
    assert task.impressions_left == pytest.approx(150_000)


def test_a_slow_press_is_due_by_the_calendar() -> None:
    task = _board(roller(events=(event(90, EventKind.STRIPES_READ),)), counter=STEADY)[EventKind.STRIPES_READ]
    assert (task.on, task.clock) == (day(120), "days")


def test_work_on_the_whole_press_counts_for_every_roller() -> None:
    board = _board(roller(), roller(id="F2"), events=(event(90, EventKind.DESCALED), event(99, EventKind.WASHED)))
    assert board[EventKind.DESCALED].last == day(90)
    assert board[EventKind.WASHED].on == day(100)


def test_only_rollers_that_need_a_task_have_it() -> None:
    steel = roller(drawing=replace(DRAWING, compound=Material.STEEL))
    board = _board(steel)
    assert EventKind.DEGLAZED not in board
    assert EventKind.COVER_CHANGED not in board
    cloth = _board(roller(drawing=replace(DRAWING, compound=Material.CLOTH)))
    assert EventKind.COVER_CHANGED in cloth


def test_the_counter_between_and_beyond_its_readings() -> None:
    assert impressions_on(STEADY, day(55)) == pytest.approx(55_000)
    assert impressions_on(STEADY, day(110)) == pytest.approx(110_000)
    assert pace_per_day(STEADY, today=TODAY) == pytest.approx(1000)
    assert pace_per_day(STEADY[:1], today=TODAY) == 0
    assert START + timedelta(days=100) == TODAY
