"""Trying settings: answered while keys are being solved, by their sum afterwards, and nothing kept without end."""

from __future__ import annotations

import threading
import time
from dataclasses import replace

import pytest

from filmsplit.actions import live
from filmsplit.actions.live import OnTrial, Trials
from filmsplit.actions.live_hand import LOOKS_EVERY_S, RESTS_AFTER_S, Hand
from filmsplit.actions.live_words import remarks_of, said_of
from filmsplit.messages import Refusal
from filmsplit.studies.live_job import Arrangement
from filmsplit.studies.live_keys import NoLongerWantedError
from studies.live_jobs import set_on


def opened(trials: Trials) -> OnTrial:
    return trials.opened(set_on("heron"))


def solved(trials: Trials, trial: OnTrial, arrangement: Arrangement) -> None:
    thread = trials.solve(trial, arrangement)
    assert thread is not None
    thread.join()


def test_a_job_is_opened_once_and_one_that_is_set_anew_is_another() -> None:
    trials, job = Trials(), set_on("heron")
    assert trials.opened(job) is trials.opened(job)
    assert trials.opened(replace(job)) is not trials.opened(job)


def test_a_drag_is_settled_anew_until_the_keys_are_solved_and_both_say_the_same() -> None:
    trials = Trials()
    trial = opened(trials)
    moved = replace(trial.job.planned, keys=tuple(0.8 * key for key in trial.job.planned.keys))
    before = trials.answer(trial, moved)
    solved(trials, trial, Arrangement())
    after = trials.answer(trial, moved)
    assert (before.solved, after.solved) == (True, False)
    for one, other in zip(before.zones, after.zones, strict=True):
        # Settled roughly, to half a percent, on cells of the same size.
        assert one.film_um == pytest.approx(other.film_um, rel=0.01)
    assert trials.solve(trial, Arrangement()) is None


def test_only_a_fine_answer_says_that_it_is_refined() -> None:
    trials = Trials()
    trial = opened(trials)
    for fine, word in ((False, "Rough"), (True, "Refined")):
        answer = trials.answer(trial, trial.job.planned, fine=fine)
        assert said_of(answer, fine=fine).startswith(word)
    assert answer.size_mm == pytest.approx(1.0, rel=0.01)


def test_another_train_is_not_answered_by_the_keys_of_the_first() -> None:
    trials = Trials()
    trial = opened(trials)
    solved(trials, trial, Arrangement())
    off = replace(trial.job.planned, arrangement=Arrangement(off=frozenset({"F1"})))
    answer = trials.answer(trial, off)
    assert answer.solved
    plain = trials.answer(trial, trial.job.planned)
    assert any(
        abs((one.film_um or 0) - (other.film_um or 0)) > 0.01
        for one, other in zip(answer.zones, plain.zones, strict=True)
    )


def test_jobs_and_keys_are_not_kept_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "_solved", lambda *_, **__: object())
    trials = Trials()
    for _ in range(20):
        trial = trials.opened(replace(set_on("heron")))
        for stroke in range(3):
            solved(trials, trial, Arrangement(stroke_mm=float(stroke)))
    assert len(trials._jobs) == live.MOST_JOBS
    assert len(trials._keys) == live.MOST_KEYS


def test_a_train_nobody_waits_for_any_more_is_not_solved_to_its_end() -> None:
    job = opened(Trials()).job
    asked = iter((True, True, True, False))
    with pytest.raises(NoLongerWantedError):
        live._solved(job, Arrangement(), going=lambda: next(asked))
    assert next(asked, None) is None


def test_nonsense_is_refused_and_nothing_computed() -> None:
    trials = Trials()
    trial = opened(trials)
    for keys in ((), (-1.0,) * 10, (float("nan"),) * 10):
        with pytest.raises(Refusal):
            trials.answer(trial, replace(trial.job.planned, keys=keys), fine=True)


def test_what_the_log_has_no_field_for_becomes_a_remark() -> None:
    trial = opened(Trials())
    asked = Arrangement(stroke_mm=7.0, off=frozenset({"F2"}), turned=True)
    said = remarks_of(trial, replace(trial.job.planned, arrangement=asked))
    assert [each in said for each in ("half round", "F2", "7 mm")] == [True] * 3
    assert remarks_of(trial, trial.job.planned) == ""


def test_solving_is_ended_between_two_keys_and_never_amid_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages are answered by daemon threads, which a program that ends kills wherever they are, and their children."""
    monkeypatch.setattr(live, "_solved", lambda *_, **__: object())
    trials, begun = Trials(), []
    trial = opened(trials)
    page = threading.Thread(target=lambda: begun.append(trials.solve(trial, Arrangement())), daemon=True)
    page.start()
    page.join()
    assert not begun[0].daemon


def test_what_is_solved_beside_a_moving_hand_waits_until_it_rests_but_not_for_ever() -> None:
    hand = Hand()
    begun = time.monotonic()
    hand.patience(60.0)()
    assert time.monotonic() - begun < RESTS_AFTER_S, "a hand that never moved keeps nobody waiting"
    hand.moves()
    hand.patience(60.0)()
    assert hand.rests
    wait = hand.patience(3 * LOOKS_EVERY_S)
    hand.moved_at_s = float("inf")  # it never rests again
    wait()
    assert not hand.rests


def test_solving_the_keys_stands_still_while_a_hand_moves(monkeypatch: pytest.MonkeyPatch) -> None:
    trials = Trials()
    trial, waits = opened(trials), []
    monkeypatch.setattr(Hand, "patience", lambda _, most_s: lambda: waits.append(most_s))
    solved(trials, trial, Arrangement())
    assert len(waits) > 2 * len(trial.job.planned.keys), "asked between periods, not only between keys"
    asked = len(waits)
    trials.answer(trial, trial.job.planned)
    assert len(waits) == asked, "the hand itself waits for nobody"
    trials.answer(trial, trial.job.planned, fine=True)
    assert len(waits) > asked
