"""`filmsplit year-plan`: dated orders, tasks and sums that agree with the forecast and with the prices told."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import run
from filmsplit.reports.typeset import Paper
from reports.pages import pages

Capture = pytest.CaptureFixture[str]
ON = "--on 2026-01-01"


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """The Heron's rollers; F1 hardens by 8 points a year, a cover for it takes 30 days."""
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    ran(capsys, "roller register heron --on 2025-01-02")
    ran(capsys, "roller change heron:F1 lead_time_days=30 --on 2025-01-02")
    ran(capsys, "reading add re-cover heron:F1 --on 2025-01-03")
    for number in range(7):
        on = date(2025, 1, 5) + timedelta(days=60 * number)
        value = f"{25 + 8 * 60 * number / 365:.1f}"
        ran(capsys, f"reading add hardness heron:F1 {value} {value} {value} --temperature 23 --on {on} --by Kim")


def ran(capsys: Capture, line: str) -> str:
    done = run(capsys, *line.split())
    assert done.code == 0, done.err
    return done.out


def plan(capsys: Capture, more: str = "") -> dict[str, Any]:
    found: dict[str, Any] = json.loads(ran(capsys, f"year-plan heron {ON} --json {more}"))["plan"]
    return found


def test_a_cover_is_ordered_a_lead_time_before_it_may_fail(capsys: Capture) -> None:
    found = plan(capsys)
    (cover,) = found["covers"]
    assert date.fromisoformat(cover["order_by"]) == date.fromisoformat(cover["low"]) - timedelta(days=30)
    dated = {(each["what"], each["of"]): each["on"] for each in found["lines"] if each["what"] != "task"}
    assert dated == {("order", "heron-F1"): cover["order_by"], ("cover", "heron-F1"): cover["median"]}
    assert "heron-F2" in found["without_forecast"]


def test_sums_are_chances_times_the_prices_told(capsys: Capture) -> None:
    """A stop: 10 sheets at 0.1, half an hour at 40, a litre of wash at 5, parts for 4: 30 (arithmetic)."""
    prices = "--recover-price 200 --sheet-price 0.1 --hour-rate 40 --wash-price 5 --stop-sheets 10"
    found = plan(capsys, f"{prices} --stop-minutes 30 --stop-litres 1 --stop-parts 4 --sheets 100000")
    (cover,) = found["covers"]
    assert found["stop_cost"] == pytest.approx(30)
    assert found["covers_only"]["expected"] == pytest.approx(200 * cover["chance"])
    assert found["with_stops"]["expected"] == pytest.approx(230 * cover["chance"])
    assert found["per_1000_sheets"] == pytest.approx(230 * cover["chance"] / 100)
    assert found["covers_interval"] == [200, 200], "due with a chance of more than nine in ten"


def test_prices_say_where_they_come_from(capsys: Capture) -> None:
    said = " ".join(ran(capsys, f"year-plan heron {ON} --hour-rate 41").split())
    assert "41 (told by the shop)" in said
    assert "120 (usual, invented)" in said
    assert run(capsys, "year-plan", "heron", "--hour-rate", "-1").code == 2


def test_a_task_comes_as_often_as_its_interval_asks(capsys: Capture) -> None:
    """Descaling weekly (common practice): 52 or 53 times from the first of January on."""
    found = plan(capsys)
    times = sum(each["times"] for each in found["lines"] if each["task"] == "descaled")
    assert times in (52, 53)
    first = next(each for each in found["lines"] if each["task"] == "descaled")
    assert first["waited"], "it was never done"


def test_impressions_make_a_task_come_sooner(capsys: Capture) -> None:
    before = [each["on"] for each in plan(capsys)["lines"] if each["task"] == "stripes read"]
    ran(capsys, "reading add impressions heron 1000 --on 2025-11-01")
    ran(capsys, "reading add impressions heron 3000000 --on 2025-12-31")
    lines = [each for each in plan(capsys)["lines"] if each["task"] == "stripes read"]
    assert sum(each["times"] for each in lines) > len(before)


@pytest.mark.parametrize("size", list(Paper))
def test_the_request_says_what_the_terminal_says(size: Paper, tmp_path: Path, capsys: Capture) -> None:
    to = tmp_path / "plan.pdf"
    said = ran(capsys, f"year-plan heron {ON} --to {to} --paper {size.value}")
    made = pages(to.read_bytes())
    text = " ".join(" ".join(page.text for page in made).split())
    for page in made:
        assert page.size_mm == pytest.approx(size.size_mm, abs=0.1)
        assert page.overlapping() == []
        assert page.crossed() == []
    order = next(line for line in said.splitlines() if "Order a cover" in line).split()[0]
    for each in (
        order,
        "heron-F1",
        "Invented press",
        "Agreed by",
        "(usual, invented)",
        "expected;",
        "Without a forecast",
    ):
        assert each in text
