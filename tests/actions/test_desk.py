"""Things on a desk: each made once however many ask, told and called off while it is made, the oldest forgotten, what
failed made anew, and nobody held without bounds."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import BoundedSemaphore

import pytest

from filmsplit.actions import desk
from filmsplit.actions.desk import CalledOffError, Desk, Doing
from filmsplit.messages import Problem, Refusal, label

LONG_S = 10.0


@pytest.fixture
def gate() -> Iterator[threading.Event]:
    """What somebody makes waits for it; opened at the end, so that no thread is left."""
    made = threading.Event()
    yield made
    made.set()


def turns(count: int = 2) -> BoundedSemaphore:
    return BoundedSemaphore(count)


def behind(gate: threading.Event) -> Callable[[Doing[str]], str]:
    """Makes a word once the gate is open, and looks every moment whether it is still wanted."""

    def make(doing: Doing[str]) -> str:
        while not gate.wait(0.005):
            doing.tell("behind the gate")
        return "there"

    return make


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + LONG_S
    while not true():
        assert time.monotonic() < end
        time.sleep(0.002)


def test_a_thing_is_made_once_however_many_ask_at_once() -> None:
    kept, made = Desk[object](2), []

    def make(_: object) -> object:
        made.append(1)
        time.sleep(0.05)
        return object()

    with ThreadPoolExecutor(8) as askers:
        found = list(askers.map(lambda _: kept.get("job", make), range(8)))
    assert len(made) == 1
    assert len(set(map(id, found))) == 1


def test_the_one_asked_for_longest_ago_is_forgotten() -> None:
    kept = Desk[str](2)
    for key in ("a", "b"):
        kept.get(key, lambda _, key=key: key.upper())  # type: ignore[misc]
    assert kept.ready("a") == "A"
    kept.get("c", lambda _: "C")
    assert len(kept) == 2
    assert [kept.ready(key) for key in ("a", "b", "c")] == ["A", None, "C"]


def test_what_failed_is_made_anew() -> None:
    kept = Desk[int](2)
    with pytest.raises(ZeroDivisionError):
        kept.get("a", lambda _: 1 // 0)
    assert kept.ready("a") is None
    assert kept.get("a", lambda _: 5) == 5


def test_nobody_waits_who_only_asks_whether_it_is_ready(gate: threading.Event) -> None:
    kept = Desk[str](2)
    maker = threading.Thread(target=lambda: kept.get("a", behind(gate)))
    maker.start()
    until(lambda: kept.begun("a"))
    assert kept.ready("a") is None
    gate.set()
    maker.join()
    assert kept.ready("a") == "there"


def test_what_is_there_in_a_moment_is_the_answer_and_else_what_is_done_for_it(gate: threading.Event) -> None:
    kept, at_once = Desk[str](2), turns()
    assert kept.answered("quick", lambda _: "there", turns=at_once, within_s=LONG_S) == "there"
    doing = kept.answered("slow", behind(gate), turns=at_once, within_s=0.01)
    assert isinstance(doing, Doing)
    until(lambda: doing.stage == "behind the gate")
    assert kept.answered("slow", lambda _: "made twice", turns=at_once, within_s=0.0) is doing
    gate.set()
    assert kept.answered("slow", lambda _: "made twice", turns=at_once, within_s=LONG_S) == "there"


def test_a_thing_called_off_ends_and_is_made_anew_for_whoever_asks_again(gate: threading.Event) -> None:
    kept, at_once = Desk[str](2), turns(1)
    doing = kept.answered("a", behind(gate), turns=at_once, within_s=0.0)
    assert isinstance(doing, Doing)
    kept.call_off(doing.ticket)
    assert doing.over.wait(LONG_S)
    assert doing.thing is None
    assert kept.answered("a", lambda _: "anew", turns=at_once, within_s=LONG_S) == "anew"
    kept.call_off("of nobody")
    assert kept.ready("a") == "anew"


def test_nobody_calls_off_what_somebody_else_stands_and_waits_for(gate: threading.Event) -> None:
    kept = Desk[str](2)
    doing = kept.asked("a", behind(gate), turns=turns())
    with ThreadPoolExecutor(1) as other:
        waiting = other.submit(kept.get, "a", behind(gate))
        until(lambda: doing.held == 1)
        kept.call_off(doing.ticket)
        gate.set()
        assert waiting.result(LONG_S) == "there"


def test_what_nobody_asks_after_any_more_is_called_off(gate: threading.Event, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk, "UNASKED_S", 0.1)
    kept = Desk[str](2)
    doing = kept.asked("a", behind(gate), turns=turns())
    for _ in range(6):
        time.sleep(0.05)
        assert kept.by_ticket(doing.ticket) is doing
    assert not doing.over.is_set()
    assert doing.over.wait(LONG_S)
    assert doing.off.is_set()


def test_one_waits_its_turn_and_says_so(gate: threading.Event) -> None:
    kept, one = Desk[str](2), turns(1)
    kept.asked("a", behind(gate), turns=one)
    until(lambda: not one.acquire(blocking=False) or bool(one.release()))
    second = kept.asked("b", lambda _: "then", turns=one)
    assert second.stage == label("web_wait.turn")
    gate.set()
    assert second.over.wait(LONG_S)
    assert second.thing == "then"


def test_more_than_can_wait_are_told_to_come_again(gate: threading.Event, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk, "MOST_UNDER_WAY", 3)
    kept, at_once = Desk[str](2), turns()
    for key in range(3):
        kept.asked(key, behind(gate), turns=at_once)
    with pytest.raises(Refusal) as refused:
        kept.asked(3, behind(gate), turns=at_once)
    assert [each.slug for each in refused.value.problems] == ["desk-busy"]
    assert len(kept) == 3
    kept.asked(0, behind(gate), turns=at_once)


def test_no_more_askers_are_held_than_can_be(gate: threading.Event) -> None:
    """Each that is held takes a thread from those that answer pages: one more is answered at once."""
    kept = Desk[str](2)
    doing = kept.asked("a", behind(gate), turns=turns())
    with ThreadPoolExecutor(desk.MOST_HELD) as askers:
        held = [askers.submit(kept.get, "a", behind(gate)) for _ in range(desk.MOST_HELD)]
        until(lambda: doing.held == desk.MOST_HELD)
        with pytest.raises(Refusal) as refused:
            kept.get("a", behind(gate))
        assert refused.value.problems[0].slug == "desk-busy"
        begun = time.monotonic()
        assert kept.answered("a", behind(gate), turns=turns(), within_s=LONG_S) is doing
        assert time.monotonic() - begun < LONG_S / 2
        gate.set()
        assert {each.result(LONG_S) for each in held} == {"there"}


def test_what_cannot_be_is_refused_to_all_who_wait_and_not_remembered() -> None:
    kept, at_once = Desk[str](2), turns()

    def make(_: object) -> str:
        time.sleep(0.05)
        raise Refusal(Problem("desk-stopped"))

    for _ in range(2):
        with pytest.raises(Refusal):
            kept.answered("a", make, turns=at_once, within_s=LONG_S)
    assert len(kept) == 0
    with ThreadPoolExecutor(3) as askers:
        raised = [askers.submit(kept.get, "a", make).exception(LONG_S) for _ in range(3)]
    assert all(isinstance(each, Refusal) for each in raised)


def test_a_mistake_of_the_program_ends_the_wait_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """Otherwise the page would ask for it again and again. The mistake itself is told where the program tells them."""
    kept, told = Desk[float](2), list[object]()
    monkeypatch.setattr(threading, "excepthook", lambda fault: told.append(fault.exc_type))
    with pytest.raises(Refusal) as refused:
        kept.answered("a", lambda _: 1 / 0, turns=turns(), within_s=LONG_S)
    assert refused.value.problems[0].slug == "desk-stopped"
    until(lambda: told == [ZeroDivisionError])


def test_it_is_kept_under_another_key_too() -> None:
    kept = Desk[str](2)
    kept.get("a", lambda _: "A")
    kept.take_over("a", "b")
    assert (kept.ready("a"), kept.ready("b")) == (None, "A")


def test_who_tells_of_what_nobody_wants_is_stopped() -> None:
    doing = Doing[str]()
    doing.tell("going on")
    doing.off.set()
    with pytest.raises(CalledOffError):
        doing.tell("still going on")
    assert doing.stage == "going on"
