"""Trying settings of a job that was set: every key is solved beforehand, and the sheet then answers."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

from filmsplit.actions.desk import Desk
from filmsplit.actions.live_hand import Hand
from filmsplit.actions.setup import Set
from filmsplit.messages import Refusal
from filmsplit.simulation.linear import NotAnsweredError
from filmsplit.simulation.solution import NotSettledError
from filmsplit.studies.live_answer import LiveAnswer, from_keys, from_train
from filmsplit.studies.live_cells import FINE, QUICK, ROUGH, Cells, live_train
from filmsplit.studies.live_job import Arrangement, LiveJob, Moved, live_job
from filmsplit.studies.live_keys import Going, LiveKeys, NoLongerWantedError, live_keys

MOST_JOBS, MOST_KEYS = 8, 4
"""Jobs kept, and trains of which every key is kept (some MB each)."""
MOST_PATIENCE_S = 20.0
"""So long one solve stands still for hands that move, in all: two who try must not keep each other waiting."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnTrial:
    """An ink of a job that is tried: ``found`` is the job as it was set, ``number`` which of its inks, from 1."""

    found: Set
    number: int
    job: LiveJob

    @property
    def key(self) -> Hashable:
        """What it is kept by: the very job that was set; one that is set anew is another."""
        return self.found, self.number


@dataclass(slots=True)
class Trials:
    """The jobs that are tried on one workbench. The keys of each are solved once.

    Solving keys goes on beside the answers: until it is done a drag is answered by settling the train anew, roughly.
    One train is solved at a time, and one refined at a time, and both stand still while a hand moves: the cores are for
    those who drag.
    """

    _jobs: Desk[OnTrial] = field(default_factory=lambda: Desk[OnTrial](MOST_JOBS))
    _keys: Desk[LiveKeys] = field(default_factory=lambda: Desk[LiveKeys](MOST_KEYS))
    _failed: Desk[bool] = field(default_factory=lambda: Desk[bool](4 * MOST_KEYS))
    _wanted: Desk[list[Arrangement]] = field(default_factory=lambda: Desk[list[Arrangement]](MOST_JOBS))
    _hand: Hand = field(default_factory=Hand)
    _solving: threading.Lock = field(default_factory=threading.Lock)
    _refining: threading.Lock = field(default_factory=threading.Lock)

    def opened(self, found: Set, *, number: int = 1) -> OnTrial:
        """An ink (the first where there is none of that number) of a job that was set."""
        place = number if 1 <= number <= len(found.studies) else 1
        return self._jobs.get((found, place), lambda _: _on_trial(found, number=place))

    def answer(self, trial: OnTrial, moved: Moved, *, fine: bool = False) -> LiveAnswer:
        """What the sheet does with these settings; :class:`Refusal` where they cannot be set.

        ``fine`` settles the train on fine cells. Without it the answer is the sum of the keys where they are solved,
        and else the train settled on cells that are settled quickly.
        """
        problems = tuple(trial.job.problems(moved))
        if problems:
            raise Refusal(problems)
        arrangement = moved.arrangement
        if fine:
            self.solve(trial, arrangement)
            with self._refining:
                return _settled(trial, moved, cells=FINE, between=self._hand.patience(MOST_PATIENCE_S))
        keys = self._keys.ready((trial.key, arrangement))
        self._hand.moves()
        try:
            return _settled(trial, moved, cells=QUICK) if keys is None else from_keys(keys, moved)
        finally:
            self._hand.moves()

    def solve(self, trial: OnTrial, arrangement: Arrangement) -> threading.Thread | None:
        """Begin to solve every key of a train, beside everything else; ``None`` where it is done or under way, or
        failed before."""
        key = (trial.key, arrangement)
        self._wanted.get(trial.key, _nothing)[:] = [arrangement]
        if self._keys.begun(key) or self._failed.ready(key):
            return None
        # Threads that answer pages are daemons, and this one would be: killed amid the C code when the program ends.
        thread = threading.Thread(target=self._solve, args=(trial, arrangement), daemon=False)
        thread.start()
        return thread

    def _solve(self, trial: OnTrial, arrangement: Arrangement) -> None:
        key, wait = (trial.key, arrangement), self._hand.patience(MOST_PATIENCE_S)

        def going() -> bool:
            """Not once the hand has moved on to another train, nor once the workbench is being closed."""
            wait()
            wanted = self._wanted.get(trial.key, _nothing) == [arrangement]
            return wanted and threading.main_thread().is_alive()

        with self._solving:
            try:
                self._keys.get(key, lambda _: _solved(trial.job, arrangement, going=going))
            except NoLongerWantedError:
                return
            except (NotAnsweredError, NotSettledError, Refusal):  # drags go on being settled one by one, and say so
                self._failed.get(key, lambda _: True)


def _nothing(_: object) -> list[Arrangement]:
    return []


def _on_trial(found: Set, *, number: int) -> OnTrial:
    return OnTrial(found=found, number=number, job=live_job(found.studies[number - 1], job=found.studies))


def _settled(trial: OnTrial, moved: Moved, *, cells: Cells, between: Callable[[], None] = lambda: None) -> LiveAnswer:
    return from_train(live_train(trial.job, moved.arrangement, cells=cells), moved, between=between)


def _solved(job: LiveJob, arrangement: Arrangement, *, going: Going) -> LiveKeys:
    """Every key, at the planned settings' sweep."""
    if not going():
        raise NoLongerWantedError
    return live_keys(
        live_train(job, arrangement, cells=ROUGH),
        job.films_um(job.planned),
        sweep_mm=job.planned_sweep_mm,
        sweeps_mm=() if job.sweeps is None else job.sweeps.sweeps_mm,
        going=going,
    )
