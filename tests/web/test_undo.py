"""Jobs, moves and calibrations undone in the pages: a row is added with who and why, and nothing counts them any more.

That nothing is ever deleted is the project's own promise (docs/decisions/0073). Everything here is invented.
"""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.earlier import earlier_of
from filmsplit.actions.instruments import add, calibrate
from filmsplit.actions.instruments import listed as gauges
from filmsplit.actions.jobs import find, show
from filmsplit.actions.last_time import last_time
from filmsplit.actions.learning import learned_of
from filmsplit.actions.register import listed
from filmsplit.actions.roller_moves import move_roller
from filmsplit.formats.press_file import load
from filmsplit.messages import Refusal
from filmsplit.records.instruments import Calibration, Instrument
from filmsplit.records.jobs import JobRecord, log_job
from filmsplit.records.store import Store
from web.served import Visit
from web.test_history import book_of, key_in, lines

WHY = {"reason": "wrong <press>", "name": "Invented C"}


def records_of(visit: Visit) -> Path:
    return visit.folder / "filmsplit.records"


def put_job(visit: Visit, title: str = "Poster", *, code: str = "") -> str:
    with Store.at(records_of(visit)).write("test") as writer:
        job = JobRecord(press="heron", unit="A", title=title, printed_on=date(2026, 5, 4), ink="cyan", stock="matt")
        return log_job(writer, job, code=code)


def undo_newest(visit: Visit, kind: str, *, status: int = 200) -> str:
    number = lines(visit, f"?kind={kind}")[0]["Number"]
    address = f"/history/{kind}/{number}/undo"
    return visit.send(address, status=status, key=key_in(visit.page(address)), **WHY)


def every_row(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with sqlite3.connect(path) as connection:
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {table: connection.execute(f"SELECT * FROM {table} ORDER BY 1").fetchall() for table in tables}


def test_a_job_undone_counts_for_nothing_and_stays_on_record(at_heron: Visit) -> None:
    code = put_job(at_heron)
    records = records_of(at_heron)
    press = load(at_heron.folder / "presses" / "heron.yaml").press
    assert learned_of(press, press.units[0], records).jobs != ()
    assert last_time(records, press="heron", unit="A", ink="cyan") != ()
    before = every_row(records)
    undo_newest(at_heron, "job")
    after = every_row(records)
    assert all(after[table][: len(rows)] == rows for table, rows in before.items()), "nothing old is changed"
    assert find(records) == ()
    assert last_time(records, press="heron", unit="A", ink="cyan") == ()
    assert learned_of(press, press.units[0], records).jobs == ()
    for ask in (
        lambda: show(records, code),
        lambda: earlier_of(code, press=press, unit=press.units[0], records=records),
    ):
        with pytest.raises(Refusal) as refused:
            ask()
        assert refused.value.problems[0].slug == "job-struck-out"
    text = at_heron.page(f"/jobs/logged/{code}", status=404)
    assert "Invented C" in text
    assert "wrong &lt;press&gt;" in text
    assert code not in at_heron.page("/jobs")


def test_the_history_shows_the_job_and_what_undid_it(at_heron: Visit) -> None:
    put_job(at_heron)
    undo_newest(at_heron, "job")
    (job,), (undone,) = lines(at_heron, "?kind=job"), lines(at_heron, "?kind=undone")
    assert undone["Number"] in job["State"]
    assert (undone["By"], undone["Says"]) == ("Invented C", "wrong <press>")
    assert f"/history/job/{job['Number']}/undo" not in at_heron.page("/history?kind=job")


def test_the_same_form_sent_twice_undoes_once_and_another_is_refused(at_heron: Visit) -> None:
    put_job(at_heron)
    number = lines(at_heron, "?kind=job")[0]["Number"]
    address = f"/history/job/{number}/undo"
    key = key_in(at_heron.page(address))
    for _ in range(2):
        at_heron.send(address, key=key, **WHY)
    at_heron.send(address, status=422, key="another", **WHY)
    assert len(lines(at_heron, "?kind=undone")) == 1


def test_a_plan_can_be_logged_again_after_its_job_was_undone(at_heron: Visit) -> None:
    code = put_job(at_heron)
    undo_newest(at_heron, "job")
    again = put_job(at_heron, "Poster again", code=code)
    assert again != code
    assert [job.title for job in find(records_of(at_heron))] == ["Poster again"]


def test_a_move_undone_leaves_the_roller_where_it_was(at_heron: Visit) -> None:
    book = book_of(at_heron)
    move_roller("heron-F1", "shelf", book=book)
    undo_newest(at_heron, "move")
    (f1,) = (each for each in listed(book=book) if each.roller.mark == "heron-F1")
    assert f1.position is not None
    assert str(f1.position.at) == "heron:A.F1"
    added = lines(at_heron, "?kind=move")[0]
    assert "Invented C" in added["Says"]
    assert added["State"]


def test_a_move_that_others_came_after_is_not_undone(at_heron: Visit) -> None:
    first = lines(at_heron, "?kind=move&roller=heron-F1")[0]["Number"]
    move_roller("heron-F1", "shelf", book=book_of(at_heron))
    for number in (first, lines(at_heron, "?kind=move&roller=heron-F2")[0]["Number"]):
        at_heron.send(f"/history/move/{number}/undo", status=422, key=f"k{number}", **WHY)


def test_a_calibration_undone_gives_the_one_before(at_heron: Visit) -> None:
    book = book_of(at_heron)
    first = Calibration(day=date(2026, 1, 2), offset=0.1, uncertainty=0.05)
    add(Instrument(name="G1", kind="rule", calibrations=(first,)), book=book)
    calibrate("G1", replace(first, day=date(2026, 3, 2), offset=9.0), book=book)
    undo_newest(at_heron, "calibration")
    (gauge,) = gauges(book=book)
    assert gauge.calibrations == (first,)


@pytest.mark.parametrize("said", [{"reason": "", "name": "Invented C"}, {"reason": "wrong", "name": " "}])
def test_nothing_is_undone_without_who_and_why(at_heron: Visit, said: dict[str, str]) -> None:
    put_job(at_heron)
    number = lines(at_heron, "?kind=job")[0]["Number"]
    at_heron.send(f"/history/job/{number}/undo", status=422, key="a", **said)
    assert len(find(records_of(at_heron))) == 1


@pytest.mark.parametrize(
    "address", ["/history/job/9999/undo", "/history/plan/1/undo", "/history/round/1/undo", "/history/move/x/undo"]
)
def test_what_cannot_be_undone_has_no_page(at_heron: Visit, address: str) -> None:
    assert at_heron.client.get(address).status_code in (404, 422)
