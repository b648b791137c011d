"""Jobs that are being set, and those that were: so many at once, the others in turn, each to be called off."""

from __future__ import annotations

import atexit
import threading
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass, field
from time import monotonic

from filmsplit.actions.setting_apart import Order, set_apart
from filmsplit.actions.setup import Set
from filmsplit.messages import Problem, Refusal, label

AT_ONCE = 2
"""Processes that set jobs; as many threads for what is quick."""
MOST_KEPT = 12
"""Jobs remembered, some megabytes each."""
MOST_WAITING = 20
UNASKED_S = 60.0
"""A job nobody has asked after for so long is called off: its page was closed."""
TURN_S = 0.1


@dataclass(slots=True, kw_only=True)
class OnDesk:
    """A job on the desk: waiting its turn, being set, or over with what was ``found`` or is wrong."""

    order: Order
    stage: str
    working: bool = False
    found: Set | None = None
    problems: tuple[Problem, ...] = ()
    asked_at: float = field(default_factory=monotonic)
    off: threading.Event = field(default_factory=threading.Event)
    over: threading.Event = field(default_factory=threading.Event)

    def unwanted(self) -> bool:
        return self.off.is_set() or monotonic() - self.asked_at > UNASKED_S


class SetDesk:
    """Sets jobs by key, each once."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[Hashable, OnDesk] = OrderedDict()
        self._changing = threading.Lock()
        self._turns = threading.BoundedSemaphore(AT_ONCE)
        self._quick = threading.BoundedSemaphore(AT_ONCE)
        self._watched = False

    def asked(self, key: Hashable, order: Order) -> OnDesk:
        """The job of this key, begun where it was not. :class:`Refusal` where too many wait already."""
        with self._changing:
            job = self._jobs.get(key)
            if job is None or job.off.is_set():
                if sum(not each.over.is_set() for each in self._jobs.values()) >= MOST_WAITING:
                    raise Refusal(Problem("setting-too-many", {"most": MOST_WAITING}))
                job = self._jobs[key] = OnDesk(order=order, stage=label("web_wait.turn"))
                self._watch()
                threading.Thread(target=self._set, args=(job,), daemon=True).start()
            self._seen(key, job)
        return job

    def quick(self, key: Hashable, order: Order) -> Set:
        """The same, set here and now. :class:`Refusal`, of which nothing is remembered."""
        with self._changing:
            job = self._jobs.get(key)
            if job is not None and job.found is not None:
                self._seen(key, job)
                return job.found
        with self._quick:
            found = order.set()
        job = OnDesk(order=order, stage="", found=found)
        job.over.set()
        with self._changing:
            self._jobs[key] = job
            self._seen(key, job)
        return found

    def on(self, key: Hashable) -> OnDesk | None:
        """The job of this key, if it is on the desk."""
        with self._changing:
            job = self._jobs.get(key)
            if job is not None:
                job.asked_at = monotonic()
            return job

    def call_off(self, key: Hashable) -> None:
        """End it, whatever it is doing; what was over is forgotten."""
        with self._changing:
            job = self._jobs.pop(key, None)
        if job is not None:
            job.off.set()

    def take_over(self, key: Hashable, new: Hashable) -> None:
        """Keep what was found under another key: something changed that it does not depend on."""
        with self._changing:
            job = self._jobs.pop(key, None)
            if job is not None and job.found is not None:
                self._jobs[new] = job

    def close(self) -> None:
        """End everything."""
        with self._changing:
            jobs = list(self._jobs.values())
            self._jobs.clear()
        for job in jobs:
            job.off.set()
        for job in jobs:
            job.over.wait(2.0)

    def _watch(self) -> None:
        if not self._watched:
            atexit.register(self.close)
            self._watched = True

    def _seen(self, key: Hashable, job: OnDesk) -> None:
        job.asked_at = monotonic()
        self._jobs.move_to_end(key)
        over = [each for each, there in self._jobs.items() if there.over.is_set()]
        for each in over[: max(0, len(over) - MOST_KEPT)]:
            del self._jobs[each]

    def _set(self, job: OnDesk) -> None:
        """In a thread of its own: wait for a turn, have it set, and put down what came of it."""

        def told(words: str) -> None:
            job.stage = words

        try:
            while not self._turns.acquire(timeout=TURN_S):
                if job.unwanted():
                    return
            try:
                job.working, job.stage = True, label("setup_stage.read")
                job.found = set_apart(job.order, told=told, unwanted=job.unwanted)
            finally:
                self._turns.release()
        except Refusal as refusal:
            job.problems = refusal.problems
        except OSError:  # no process could be made
            job.problems = (Problem("setting-stopped"),)
        finally:
            if job.found is None and not job.problems:
                job.off.set()
            job.over.set()


DESK = SetDesk()
"""The one of this process. Keys begin with the path of a press, so that shops do not meet."""
