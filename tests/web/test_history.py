"""The history in the pages: everything with who and when, undone by a record that is added. Readings are invented."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.readings import Told, listed, record
from filmsplit.actions.record_files import import_export
from filmsplit.actions.register import Daybook
from filmsplit.messages import label
from web.served import Visit


def book_of(visit: Visit) -> Daybook:
    return Daybook(visit.folder / "filmsplit.records", date.today())


@pytest.fixture
def with_readings(at_heron: Visit) -> Visit:
    """A browser before a shop in which two people read something."""
    place = f"{at_heron.folder}/presses/heron.yaml"
    told = [
        Told(kind="stripe", where=f"{place}:A.F1/D1", values=(4.0, 4.1, 4.2), person="Invented A", temperature_c=23),
        Told(kind="hardness", where=f"{place}:A.F1", values=(27.0,), at="middle", person="Invented B"),
        Told(kind="wash-up", where=f"{place}:A", person="Invented B", product="=cmd"),
    ]
    record(told, book=book_of(at_heron))
    return at_heron


def lines(visit: Visit, query: str = "") -> list[dict[str, str]]:
    """The lines of the history as its table has them."""
    answer = visit.client.get(f"/history.csv{query}")
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def key_in(text: str) -> str:
    found = re.search(r'name="key" value="(\w+)"', text)
    assert found is not None
    return found[1]


def test_a_shop_without_records_has_no_history(visit: Visit) -> None:
    assert label("web_history.none") in visit.page("/history")
    assert lines(visit) == []


def test_everything_stands_there_with_who_and_when(with_readings: Visit) -> None:
    text = with_readings.page("/history")
    for part in ("4 / 4.1 / 4.2 mm", "27 Shore A", "Invented A", "Invented B", date.today().isoformat(), "heron-F1"):
        assert part in text
    kinds = {each["What"] for each in lines(with_readings)}
    assert {"stripe", "hardness", "wash-up", "move", "roller"} <= kinds


@pytest.mark.parametrize(
    ("query", "count"),
    [
        ("?person=Invented+B", 2),
        ("?kind=stripe", 1),
        ("?kind=hardness&roller=heron-F1", 1),
        ("?kind=hardness&roller=heron-F2", 0),
        ("?press=heron&person=Invented+A", 1),
        ("?press=none", 0),
        ("?since=2999-01-01", 0),
        ("?until=2000-01-01", 0),
        ("?person=%27+OR+1%3D1", 0),
    ],
)
def test_lines_are_chosen(with_readings: Visit, query: str, count: int) -> None:
    assert len(lines(with_readings, query)) == count


def test_today_is_within_since_and_until(with_readings: Visit) -> None:
    day = date.today().isoformat()
    assert len(lines(with_readings, f"?kind=stripe&since={day}&until={day}")) == 1


def test_undoing_adds_a_line_and_takes_none_away(with_readings: Visit) -> None:
    before = lines(with_readings)
    number = next(each["Number"] for each in before if each["What"] == "stripe")
    ask = with_readings.page(f"/history/{number}/undo")
    sent = {"reason": "other roller", "name": "Invented C", "key": key_in(ask)}
    for _ in range(2):  # sent twice, struck out once
        with_readings.send(f"/history/{number}/undo", **sent)
    after = lines(with_readings)
    assert len(after) == len(before) + 1
    struck = next(each for each in after if each["Number"] == number and each["What"] == "stripe")
    added = next(each for each in after if each["State"] == label("history_state.strikes", number=number))
    assert struck["State"] == label("history_state.replaced", number=added["Number"])
    assert (added["By"], added["Says"]) == ("Invented C", "other roller")
    assert listed("", book=book_of(with_readings), kinds=("stripe",)).entries == ()
    assert label("web_history.gone") in with_readings.page(f"/history/{number}/undo")


@pytest.mark.parametrize("said", [{"reason": "", "name": "Invented C"}, {"reason": "wrong", "name": " "}])
def test_nothing_is_undone_without_who_and_why(with_readings: Visit, said: dict[str, str]) -> None:
    number = lines(with_readings, "?kind=stripe")[0]["Number"]
    with_readings.send(f"/history/{number}/undo", status=422, key="a", **said)
    assert len(listed("", book=book_of(with_readings), kinds=("stripe",)).entries) == 1


def test_what_was_never_written_cannot_be_undone(with_readings: Visit) -> None:
    with_readings.page("/history/9999/undo", status=404)


def test_a_day_that_is_none_is_refused_in_words(with_readings: Visit) -> None:
    assert "31.5." in with_readings.page("/history?since=31.5.", status=422)


def test_a_text_is_no_formula_in_a_spreadsheet(with_readings: Visit) -> None:
    """As the OWASP page on CSV injection asks (memory)."""
    assert lines(with_readings, "?kind=wash-up")[0]["Says"] == "'=cmd"


def test_everything_can_be_taken_along_and_read_in_again(with_readings: Visit, tmp_path: Path) -> None:
    answer = with_readings.client.get("/history/records.json")
    assert "attachment" in answer.headers["content-disposition"]
    (tmp_path / "taken.json").write_bytes(answer.content)
    again = Daybook(tmp_path / "again.records", date.today())
    import_export(tmp_path / "taken.json", book=again)
    assert listed("", book=again).entries == listed("", book=book_of(with_readings)).entries


def test_older_lines_follow(with_readings: Visit) -> None:
    place = f"{with_readings.folder}/presses/heron.yaml:A"
    for _ in range(210):
        record([Told(kind="wash-up", where=place, person="Invented D")], book=book_of(with_readings))
    first = with_readings.page("/history?kind=wash-up")
    older = re.search(r'href="(/history\?[^"]*skip=\d+)"', first)
    assert older is not None
    second = with_readings.page(older[1].replace("&amp;", "&"))
    assert first.count("<tr") - 1 == 200
    assert second.count("<tr") - 1 == 11
