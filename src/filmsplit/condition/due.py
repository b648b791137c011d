"""What is due on a press, on two clocks: days and impressions, whichever is over first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from filmsplit.condition.limits import CareTable, IntervalRow
from filmsplit.condition.readings import Event, RollerHistory
from filmsplit.condition.words import EventKind
from filmsplit.press.words import Material

RECENT_DAYS = 90
"""The pace of the press is that of so many days back (invented default)."""

_SOFT_ONLY = frozenset({EventKind.HARDNESS_READ, EventKind.DEGLAZED})
OF_THE_PRESS = frozenset({EventKind.WASHED, EventKind.METERS_CHECKED})
"""Done to the press as a whole and not roller by roller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterReading:
    """The impression counter of a press on a day."""

    on: date
    impressions: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PressLog:
    """A press: its rollers, what was done to all of them at once, and its counter."""

    press: str
    rollers: tuple[RollerHistory, ...]
    events: tuple[Event, ...] = ()
    counter: tuple[CounterReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTask:
    """A task and the day it is due. ``on`` is ``None`` where it was never done: it is due now.

    ``clock`` is the one that runs out first. ``rollers`` are those it was last done to longest ago, empty for a task
    of the whole press. ``impressions_left`` is ``None`` where the counter was not read or does not matter.
    """

    press: str
    task: EventKind
    last: date | None
    on: date | None
    clock: str
    rollers: tuple[str, ...]
    impressions_left: float | None
    row: IntervalRow

    def overdue_days(self, today: date) -> int | None:
        """Days past due, negative before it; ``None`` where it was never done."""
        return None if self.on is None else (today - self.on).days


DAYS, IMPRESSIONS = "days", "impressions"


def due_board(log: PressLog, table: CareTable, *, today: date) -> tuple[DueTask, ...]:
    """Every task of the press, the most overdue first; what was never done leads."""
    found = [task for row in table.intervals_of(log.press) for task in _task(log, row, today=today)]
    return tuple(sorted(found, key=lambda task: (task.on is not None, task.on or today, task.task.value)))


def _task(log: PressLog, row: IntervalRow, *, today: date) -> Iterator[DueTask]:
    """One line a task, for those rollers that wait longest; none where nothing on the press needs it."""
    wide = [event.on for event in log.events if event.kind is row.task]
    everywhere = max(wide, default=None)
    if row.task in OF_THE_PRESS:
        done: dict[str, date | None] = {"": everywhere}
    else:
        concerned = [roller for roller in log.rollers if _concerns(row.task, roller)]
        done = {roller.id: _later(roller.last(row.task), everywhere) for roller in concerned}
    if not done:
        return
    last = None if None in done.values() else min(day for day in done.values() if day is not None)
    waiting = tuple(sorted(name for name, day in done.items() if day == last and name))
    by_days = None if last is None or row.days is None else last + timedelta(days=row.days)
    left, by_count = _by_impressions(log, row, last=last, today=today)
    days = [day for day in (by_days, by_count) if day is not None]
    yield DueTask(
        press=log.press,
        task=row.task,
        last=last,
        on=min(days, default=None),
        clock=IMPRESSIONS if by_count is not None and by_count == min(days) and by_count != by_days else DAYS,
        rollers=waiting,
        impressions_left=left,
        row=row,
    )


def step_days(task: DueTask, log: PressLog, *, today: date) -> int | None:
    """Days from one time a task is done to the next, at the pace of late; ``None`` where no clock tells."""
    pace = pace_per_day(log.counter, today=today) if len(log.counter) > 1 else 0.0
    by_count = task.row.impressions / pace if task.row.impressions is not None and pace > 0 else None
    steps = [each for each in (task.row.days, by_count) if each is not None]
    return max(int(min(steps)), 1) if steps else None


def _concerns(task: EventKind, roller: RollerHistory) -> bool:
    cloth = roller.drawing.compound is Material.CLOTH
    if task is EventKind.COVER_CHANGED:
        return cloth
    return not (task in _SOFT_ONLY and (cloth or not roller.is_soft))


def _later(a: date | None, b: date | None) -> date | None:
    return max((day for day in (a, b) if day is not None), default=None)


def _by_impressions(
    log: PressLog, row: IntervalRow, *, last: date | None, today: date
) -> tuple[float | None, date | None]:
    """Impressions left until the task, and the day they will be printed at the pace of late."""
    if row.impressions is None or last is None or len(log.counter) < 2:
        return None, None
    left = row.impressions - (impressions_on(log.counter, today) - impressions_on(log.counter, last))
    pace = pace_per_day(log.counter, today=today)
    if left <= 0:
        return left, today
    return left, None if pace <= 0 else today + timedelta(days=min(int(left / pace), 36500))


def impressions_on(counter: Sequence[CounterReading], on: date) -> float:
    """The counter on a day, between its readings by straight lines, beyond the last at the pace of late."""
    ordered = sorted(counter, key=lambda each: each.on)
    if on > ordered[-1].on and len(ordered) > 1:
        return ordered[-1].impressions + (on - ordered[-1].on).days * pace_per_day(ordered, today=on)
    days = [each.on.toordinal() for each in ordered]
    return float(np.interp(on.toordinal(), days, [each.impressions for each in ordered]))


def pace_per_day(counter: Sequence[CounterReading], *, today: date) -> float:
    """Impressions a day over the last three months of readings, or over what there is; 0 with less than two."""
    ordered = sorted(counter, key=lambda each: each.on)
    recent = [each for each in ordered if (today - each.on).days <= RECENT_DAYS]
    used = recent if len(recent) > 1 else ordered[-2:]
    if len(used) < 2 or used[-1].on == used[0].on:
        return 0.0
    return (used[-1].impressions - used[0].impressions) / (used[-1].on - used[0].on).days
