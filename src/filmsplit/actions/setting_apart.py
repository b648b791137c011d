"""A job set in a process of its own, which can be ended at any moment, whatever it is doing."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from pathlib import Path
from time import monotonic
from typing import Any

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Problem, Refusal, label
from filmsplit.studies.job_study import Stage

LONGEST_S = 1800.0
LOOKS_S = 0.1
"""How often it is looked whether somebody wants it ended."""
DONE, REFUSED, STAGE = "done", "refused", "stage"

Told = Callable[[str], None]
"""Told in words what is done now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A job to set: the press, its work, what is told of it, and the records of the shop."""

    press: str
    work: WorkAsked
    asked: JobAsked
    records: Path | None

    def set(self, *, told: Told) -> Set:
        """Set it here and now. :class:`Refusal` as :func:`set_job`; what ``told`` raises is raised."""

        def tell(unit: str, stage: Stage) -> None:
            told(label(f"setup_stage.{stage.value}", unit=unit))

        return set_job(self.press, self.work, self.asked, records=self.records, told=tell)


def set_apart(order: Order, *, told: Told, unwanted: Callable[[], bool]) -> Set | None:
    """The job set in a process of its own; ``None`` where it was ended because it was ``unwanted``.

    :class:`Refusal` as :func:`set_job`, or where the process stopped without a word. The process is gone at the end.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_run, args=(theirs, order))
    try:
        try:
            process.start()
        finally:
            theirs.close()
        return _awaited(ours, told=told, unwanted=unwanted)
    finally:
        ours.close()
        process.kill()
        process.join()
        process.close()


def _awaited(ours: Connection, *, told: Told, unwanted: Callable[[], bool]) -> Set | None:
    until = monotonic() + LONGEST_S
    while not unwanted():
        if monotonic() > until:
            raise Refusal(Problem("setting-too-long", {"minutes": LONGEST_S / 60}))
        try:
            if not ours.poll(LOOKS_S):
                continue
            kind, value = ours.recv()
        except (EOFError, OSError):
            raise Refusal(Problem("setting-stopped")) from None
        if kind == STAGE:
            told(value)
        elif kind == REFUSED:
            raise Refusal(value)
        else:
            found: Set = value
            return found
    return None


# In the other process -------------------------------------------------------------------------------------------------


def _run(pipe: Connection, order: Order) -> None:
    """What is no refusal ends the process without a word, which the one who waits has words for."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _go_with_the_parent()

    def give(kind: str, value: Any) -> None:
        pipe.send((kind, value))

    def read(done: int, rows: int) -> None:
        give(STAGE, label("web_wait.reading", percent=100 * done // max(rows, 1)))

    def told(unit: str, stage: Stage) -> None:
        give(STAGE, label(f"setup_stage.{stage.value}", unit=unit))

    with contextlib.suppress(BrokenPipeError):
        work = order.work if order.work.is_typed else replace(order.work, progress=read)
        try:
            found = set_job(order.press, work, order.asked, records=order.records, told=told)
        except Refusal as refusal:
            give(REFUSED, refusal.problems)
        else:
            give(DONE, found)
    pipe.close()


def _go_with_the_parent() -> None:
    """Without the one who waits there is nothing left to do."""
    parent = multiprocessing.parent_process()
    assert parent is not None

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
