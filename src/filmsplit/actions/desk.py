"""Things that take long to make: each made once for all who ask, watched and called off while it is made, kept for
whoever asks next, the one asked for longest ago forgotten."""

from __future__ import annotations

import contextlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field
from secrets import token_hex
from threading import BoundedSemaphore
from time import monotonic
from typing import Generic, TypeVar

from filmsplit.messages import Problem, Refusal, label

Thing = TypeVar("Thing")

MOST_UNDER_WAY = 20
"""Things of a desk that are made or wait their turn; whoever asks for one more is asked to come again."""
MOST_HELD = 8
"""Askers of a desk who are held until their thing is there; each holds a thread of those that answer pages."""
UNASKED_S = 60.0
"""What nobody has asked after for so long is called off: its page was closed."""
TURN_S = 0.1


class CalledOffError(Exception):
    """Raised where something is no longer made because nobody wants it any more."""


@dataclass(slots=True, kw_only=True, eq=False)
class Doing(Generic[Thing]):
    """Something on a desk: waiting its turn, being made, or ``over`` with the ``thing`` or with what is wrong.

    Whoever makes it tells what is done now; that ends the making where nobody wants it any more.
    """

    ticket: str = field(default_factory=lambda: token_hex(8))
    stage: str = ""
    thing: Thing | None = None
    problems: tuple[Problem, ...] = ()
    held: int = 0
    asked_at: float = field(default_factory=monotonic)
    off: threading.Event = field(default_factory=threading.Event)
    over: threading.Event = field(default_factory=threading.Event)

    def tell(self, words: str) -> None:
        """Put down what is done now; :class:`CalledOffError` where nobody wants it any more."""
        if self.unwanted():
            raise CalledOffError
        self.stage = words

    def unwanted(self) -> bool:
        """Whether nobody waits for it: it was called off, its page was closed, or the program ends."""
        if not threading.main_thread().is_alive():
            return True
        return not self.held and (self.off.is_set() or monotonic() - self.asked_at > UNASKED_S)

    @property
    def lost(self) -> bool:
        """Whether it will not come to anything, nor has."""
        return self.off.is_set() or (self.over.is_set() and self.thing is None and not self.problems)


Make = Callable[[Doing[Thing]], Thing]
"""Makes a thing and tells what it does; :class:`Refusal` where it cannot be made."""


class Desk(Generic[Thing]):
    """At most ``most`` things by key."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._doings: OrderedDict[Hashable, Doing[Thing]] = OrderedDict()
        self._changing = threading.Lock()
        self._places = BoundedSemaphore(MOST_HELD)

    def __len__(self) -> int:
        with self._changing:
            return len(self._doings)

    def get(self, key: Hashable, make: Make[Thing], *, turns: BoundedSemaphore | None = None) -> Thing:
        """The thing of a key, made here and now where it is not there; who asks while it is made waits for it.

        What ``make`` raises is raised. :class:`Refusal` too where too many wait or too much is under way.
        """
        while True:
            doing, mine = self._taken(key)
            if mine:
                return self._made(key, doing, make=make, turns=turns)
            self._await(doing)
            if doing.problems:
                raise Refusal(doing.problems)
            if doing.thing is not None:
                return doing.thing

    def asked(self, key: Hashable, make: Make[Thing], *, turns: BoundedSemaphore) -> Doing[Thing]:
        """The same in a thread of its own, begun where it was not, in its turn. :class:`Refusal` where too much is."""
        doing, mine = self._taken(key)
        if mine:
            # Not a daemon: those are killed amid C code when the program ends. This one sees that it does, and ends.
            threading.Thread(target=self._do, args=(doing, make), kwargs={"turns": turns}, daemon=False).start()
        return doing

    def answered(
        self, key: Hashable, make: Make[Thing], *, turns: BoundedSemaphore, within_s: float
    ) -> Thing | Doing[Thing]:
        """The thing where it is there within a moment, else what is being done for it. :class:`Refusal` where it
        cannot be made, of which nothing is remembered."""
        doing = self.asked(key, make, turns=turns)
        with contextlib.suppress(Refusal):  # too many are held: this one looks again like everybody
            self._await(doing, within_s=within_s)
        if doing.problems:
            self._forget(key, doing)
            raise Refusal(doing.problems)
        return doing if doing.thing is None else doing.thing

    def ready(self, key: Hashable) -> Thing | None:
        """The thing of a key if it is there, without waiting for it."""
        with self._changing:
            doing = self._doings.get(key)
            if doing is None:
                return None
            self._seen(key, doing)
            return doing.thing

    def begun(self, key: Hashable) -> bool:
        """Whether it is there or being made."""
        with self._changing:
            doing = self._doings.get(key)
            return doing is not None and not doing.lost

    def by_ticket(self, ticket: str) -> Doing[Thing] | None:
        """What is being made or was, by its ticket: somebody still waits for it."""
        with self._changing:
            doing = next((each for each in self._doings.values() if each.ticket == ticket), None)
            if doing is not None:
                doing.asked_at = monotonic()
            return doing

    def call_off(self, ticket: str) -> None:
        """End what is being made, whatever it is doing. What is there stays, and so does what somebody else stands and
        waits for."""
        doing = self.by_ticket(ticket)
        with self._changing:
            if doing is not None and not doing.over.is_set() and not doing.held:
                doing.off.set()

    def take_over(self, key: Hashable, new: Hashable) -> None:
        """Keep what is there under another key: something changed that it does not depend on."""
        with self._changing:
            doing = self._doings.pop(key, None)
            if doing is not None and doing.thing is not None:
                self._doings[new] = doing

    def _taken(self, key: Hashable) -> tuple[Doing[Thing], bool]:
        """What is on the desk under a key, and whether it was only now laid there and is the asker's to make."""
        with self._changing:
            doing = self._doings.get(key)
            mine = doing is None or doing.lost
            if doing is None or mine:
                if sum(not each.over.is_set() for each in self._doings.values()) >= MOST_UNDER_WAY:
                    raise Refusal(Problem("desk-busy", {"most": MOST_UNDER_WAY}))
                doing = self._doings[key] = Doing(stage=label("web_wait.turn"))
            self._seen(key, doing)
            return doing, mine

    def _seen(self, key: Hashable, doing: Doing[Thing]) -> None:
        doing.asked_at = monotonic()
        self._doings.move_to_end(key)
        self._tidy()

    def _tidy(self) -> None:
        """Forget the ones asked for longest ago."""
        over = [each for each, there in self._doings.items() if there.over.is_set()]
        for each in over[: max(0, len(over) - self._most)]:
            del self._doings[each]

    def _made(self, key: Hashable, doing: Doing[Thing], *, make: Make[Thing], turns: BoundedSemaphore | None) -> Thing:
        with self._held(doing):
            try:
                with turns or contextlib.nullcontext():
                    doing.thing = make(doing)
                return doing.thing
            except Refusal as refusal:  # those who wait are told the same
                doing.problems = refusal.problems
                raise
            finally:
                if doing.thing is None:
                    self._forget(key, doing)
                self._end(doing)

    def _await(self, doing: Doing[Thing], *, within_s: float | None = None) -> None:
        """Wait until it is over. :class:`Refusal` where too many wait already."""
        if doing.over.is_set():
            return
        if not self._places.acquire(blocking=False):
            raise Refusal(Problem("desk-busy", {"most": MOST_HELD}))
        try:
            with self._held(doing):
                doing.over.wait(within_s)
        finally:
            self._places.release()

    @contextlib.contextmanager
    def _held(self, doing: Doing[Thing]) -> Iterator[None]:
        """While somebody stands and waits nobody can call it off for them."""
        with self._changing:
            doing.held += 1
        try:
            yield
        finally:
            with self._changing:
                doing.held -= 1
                doing.asked_at = monotonic()

    def _forget(self, key: Hashable, doing: Doing[Thing]) -> None:
        with self._changing:
            if self._doings.get(key) is doing:
                del self._doings[key]

    def _do(self, doing: Doing[Thing], make: Make[Thing], *, turns: BoundedSemaphore) -> None:
        """Wait for a turn, make the thing, and put down what came of it."""
        try:
            while not turns.acquire(timeout=TURN_S):
                if doing.unwanted():
                    raise CalledOffError
            try:
                doing.thing = make(doing)
            finally:
                turns.release()
        except Refusal as refusal:
            doing.problems = refusal.problems
        except CalledOffError:
            doing.off.set()
        finally:
            if doing.thing is None and not doing.problems and not doing.off.is_set():
                doing.problems = (Problem("desk-stopped"),)
            self._end(doing)

    def _end(self, doing: Doing[Thing]) -> None:
        doing.over.set()
        with self._changing:
            self._tidy()
