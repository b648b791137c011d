"""The same thing sent twice is on record once (the usual rule for an Idempotency-Key, IETF draft of that name)."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions import jobs, readings
from filmsplit.actions.register import Daybook, register
from filmsplit.messages import Refusal
from records.test_jobs import POSTER

HARDNESS = readings.Told(kind="hardness", where="heron:A.F1", values=(27.0, 28.0, 27.0, 27.5, 28.0), temperature_c=23.0)


@pytest.fixture
def book(tmp_path: Path) -> Daybook:
    kept = Daybook(tmp_path / "shop.records", date(2030, 3, 4))
    register("heron", book=kept)
    return kept


def count(book: Daybook) -> int:
    return len(readings.listed("", book=book).entries)


def test_a_reading_sent_twice_is_recorded_once_and_answered_alike(book: Daybook) -> None:
    first = readings.record([HARDNESS], book=book, key="k1")
    later = replace(book, day=date(2030, 3, 5))  # the tablet sent again after midnight
    again = readings.record([HARDNESS], book=later, key="k1")
    assert [each.entry.number for each in again] == [each.entry.number for each in first]
    assert [each.hardness for each in again] == [each.hardness for each in first]
    assert again[0].entry == first[0].entry
    assert count(book) == 1


def test_another_key_is_another_reading(book: Daybook) -> None:
    for key in ("k1", "k2", ""):
        readings.record([HARDNESS], book=book, key=key)
    assert count(book) == 3


def test_a_key_used_for_something_else_loses_nothing_silently(book: Daybook) -> None:
    readings.record([HARDNESS], book=book, key="k1")
    with pytest.raises(Refusal, match="submit-key-used"):
        readings.record([replace(HARDNESS, values=(40.0,))], book=book, key="k1")
    assert count(book) == 1


@pytest.mark.parametrize("key", ["x" * 65, "schlüssel", "a\nb"])
def test_a_key_that_cannot_be_one_is_refused(book: Daybook, key: str) -> None:
    with pytest.raises(Refusal, match="submit-key-unusable"):
        readings.record([HARDNESS], book=book, key=key)
    assert count(book) == 0


def test_what_was_refused_may_be_sent_again_under_its_key(book: Daybook) -> None:
    with pytest.raises(Refusal):
        readings.record([replace(HARDNESS, values=(400.0,))], book=book, key="k1")
    readings.record([HARDNESS], book=book, key="k1")
    assert count(book) == 1


def test_eight_at_once_with_one_key_record_one(book: Daybook) -> None:
    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(lambda _: readings.record([HARDNESS], book=book, key="k1"), range(16)))
    assert len({each[0].entry.number for each in done}) == 1
    assert count(book) == 1


def test_a_job_sent_twice_is_on_record_once(book: Daybook) -> None:
    told = jobs.Told(keys=(2.0,) * 10)
    job = replace(POSTER, zones=(), readings=())
    first = jobs.log_once("heron", job, told=told, records=book.records, key="j1")
    again = jobs.log_once("heron", job, told=told, records=book.records, key="j1")
    assert again.code == first.code
    assert again == first
    assert len(jobs.find(book.records)) == 1
    with pytest.raises(Refusal, match="submit-key-used"):
        jobs.log_once("heron", replace(job, title="other"), told=told, records=book.records, key="j1")
