"""Every kind of thing on record undone from the history: it works, says who and when, and works only once.

That nothing is ever deleted, and every line says who undid it, is the project's own promise (docs/decisions/0073).
Everything here is invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from filmsplit.actions.instruments import add, calibrate
from filmsplit.actions.plans import planned
from filmsplit.actions.readings import Told, record
from filmsplit.actions.register import change, page
from filmsplit.actions.roller_moves import move_roller
from filmsplit.actions.undo import Undoable
from filmsplit.messages import Refusal
from filmsplit.records.history import OTHER_KINDS
from filmsplit.records.instruments import Calibration, Instrument
from filmsplit.records.plans import Plan, PlannedZone, record_plan
from filmsplit.records.store import Store
from web.served import Visit
from web.test_history import book_of, key_in, lines
from web.test_solution import PAN, put
from web.test_undo import WHY, every_row, put_job, records_of


def put_plan(visit: Visit) -> str:
    plan = Plan(
        press="heron",
        unit="A",
        title="Poster",
        planned_on=date(2026, 5, 4),
        zones=(PlannedZone(zone=1, coverage=0.2, key=3.0),),
    )
    with Store.at(records_of(visit)).write("test") as writer:
        return record_plan(writer, plan)


def _entry(visit: Visit) -> None:
    where = f"{visit.folder}/presses/heron.yaml:A.F1"
    record([Told(kind="hardness", where=where, values=(27.0,), at="middle")], book=book_of(visit))


def _calibration(visit: Visit) -> None:
    first = Calibration(day=date(2026, 1, 2), offset=0.1, uncertainty=0.05)
    add(Instrument(name="G1", kind="rule", calibrations=(first,)), book=book_of(visit))
    calibrate("G1", replace(first, day=date(2026, 3, 2)), book=book_of(visit))


def _bands(visit: Visit) -> None:
    put(visit, address="/solution/heron/bands", product="Invented 3", ph_low="4", ph_high="4.6")


MAKERS: dict[Undoable, Callable[[Visit], object]] = {
    Undoable.ENTRY: _entry,
    Undoable.JOB: put_job,
    Undoable.MOVE: lambda visit: move_roller("heron-F1", "shelf", book=book_of(visit)),
    Undoable.CALIBRATION: _calibration,
    Undoable.PLAN: put_plan,
    Undoable.FACTS: lambda visit: change("heron-F1", {"journal_mm": 25.0}, book=book_of(visit)),
    Undoable.SAMPLE: lambda visit: put(visit, **PAN),
    Undoable.BANDS: _bands,
}
KIND = {Undoable.ENTRY: "hardness"}
ADDED = {Undoable.JOB: "undone", Undoable.PLAN: "plan-undone", Undoable.FACTS: "roller-undone"}
"""The kind of line that undoes it, where it is another."""


def test_every_kind_on_record_can_be_undone_but_steps_of_rounds() -> None:
    """What a round read are entries of their own; its steps are what happened, and say nothing that counts."""
    assert set(MAKERS) == set(Undoable)
    assert {*OTHER_KINDS} - {*ADDED.values()} - {each.value for each in Undoable} == {"round"}


@pytest.mark.parametrize("kind", Undoable, ids=lambda kind: kind.value)
def test_it_is_undone_once_by_a_line_that_says_who_and_when(at_heron: Visit, kind: Undoable) -> None:
    MAKERS[kind](at_heron)
    asked = f"?kind={KIND.get(kind, kind.value)}"
    line = lines(at_heron, asked)[0]
    own = "" if kind is Undoable.ENTRY else f"{kind.value}/"
    address = f"/history/{own}{line['Number']}/undo"
    assert f'href="{address}"' in at_heron.page(f"/history{asked}")
    before = every_row(records_of(at_heron))
    at_heron.send(address, key=key_in(at_heron.page(address)), **WHY)
    after = every_row(records_of(at_heron))
    assert all(after[table][: len(rows)] == rows for table, rows in before.items()), "nothing old is changed"
    added = lines(at_heron, f"?kind={ADDED.get(kind, KIND.get(kind, kind.value))}")[0]
    assert "Invented C" in added["By"] + added["Says"]
    assert "wrong <press>" in added["Says"]
    assert added["Written"].startswith(date.today().isoformat())
    assert f'href="{address}"' not in at_heron.page(f"/history{asked}")
    at_heron.send(address, status=422, key="another", **WHY)
    assert every_row(records_of(at_heron)) == after, "and only once"


def test_a_plan_undone_is_logged_from_no_more(at_heron: Visit) -> None:
    code = put_plan(at_heron)
    assert planned(records_of(at_heron), code).title == "Poster"
    undo_it(at_heron, "plan")
    with pytest.raises(Refusal) as refused:
        planned(records_of(at_heron), code)
    (problem,) = refused.value.problems
    assert problem.slug == "job-plan-struck-out"
    assert "Invented C" in problem.what


def test_a_plan_with_a_job_stays_until_the_job_is_undone(at_heron: Visit) -> None:
    code = put_plan(at_heron)
    put_job(at_heron, code=code)
    number = lines(at_heron, "?kind=plan")[0]["Number"]
    assert code in at_heron.send(f"/history/plan/{number}/undo", status=422, key="a", **WHY)
    undo_it(at_heron, "job")
    undo_it(at_heron, "plan")


def test_facts_undone_give_way_to_those_before(at_heron: Visit) -> None:
    before = page("heron-F1", book=book_of(at_heron)).roller.facts
    change("heron-F1", {"journal_mm": 25.0}, book=book_of(at_heron))
    assert page("heron-F1", book=book_of(at_heron)).roller.facts != before
    undo_it(at_heron, "roller")
    assert page("heron-F1", book=book_of(at_heron)).roller.facts == before


def test_the_only_facts_of_a_roller_stay(at_heron: Visit) -> None:
    line = lines(at_heron, "?kind=roller")[0]
    text = at_heron.send(f"/history/roller/{line['Number']}/undo", status=422, key="a", **WHY)
    assert line["About"] in text
    assert page(line["About"], book=book_of(at_heron)).roller.mark == line["About"]


def undo_it(visit: Visit, kind: str) -> None:
    number = lines(visit, f"?kind={kind}")[0]["Number"]
    address = f"/history/{kind}/{number}/undo"
    visit.send(address, key=key_in(visit.page(address)), **WHY)
