"""Things kept: each made once however many ask, the oldest forgotten, what failed made anew."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from filmsplit.actions.kept import Kept


def test_a_thing_is_made_once_however_many_ask_at_once() -> None:
    kept, made = Kept[object](2), []

    def make() -> object:
        made.append(1)
        time.sleep(0.05)
        return object()

    with ThreadPoolExecutor(8) as askers:
        found = list(askers.map(lambda _: kept.get("job", make), range(8)))
    assert len(made) == 1
    assert len(set(map(id, found))) == 1


def test_the_one_asked_for_longest_ago_is_forgotten() -> None:
    kept = Kept[str](2)
    for key in ("a", "b"):
        kept.get(key, lambda key=key: key.upper())  # type: ignore[misc]
    assert kept.ready("a") == "A"
    kept.get("c", lambda: "C")
    assert len(kept) == 2
    assert [kept.ready(key) for key in ("a", "b", "c")] == ["A", None, "C"]


def test_what_failed_is_made_anew() -> None:
    kept = Kept[int](2)
    with pytest.raises(ZeroDivisionError):
        kept.get("a", lambda: 1 // 0)
    assert kept.ready("a") is None
    assert kept.get("a", lambda: 5) == 5


def test_nobody_waits_who_only_asks_whether_it_is_ready() -> None:
    kept, may = Kept[int](2), threading.Event()

    def make() -> int:
        assert may.wait(10)
        return 7

    maker = threading.Thread(target=lambda: kept.get("a", make))
    maker.start()
    while not kept.begun("a"):
        time.sleep(0.001)
    assert kept.ready("a") is None
    may.set()
    maker.join()
    assert kept.ready("a") == 7
