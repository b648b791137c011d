"""`filmsplit care`, `due`, `order`: from an empty register to a dated list of what to do and to order."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from cli.terminal import Ran, run
from filmsplit.cli.care_commands import INKS, WASHES
from filmsplit.setup.cover_checks import InkFamily, WashClass

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


def ran(capsys: Capture, line: str) -> str:
    done = run(capsys, *line.split())
    assert done.code == 0, done.err
    return done.out


@pytest.fixture
def read(capsys: Capture) -> None:
    """The Heron's rollers; one of them hardens by 8 points a year over a year, read every two months."""
    ran(capsys, "roller register heron --on 2025-01-02")
    ran(capsys, "reading add re-cover heron:F1 --on 2025-01-03")
    for number in range(7):
        on = date(2025, 1, 5) + timedelta(days=60 * number)
        value = 25 + 8 * 60 * number / 365
        ran(
            capsys,
            f"reading add hardness heron:F1 {value:.1f} {value:.1f} {value:.1f} --temperature 23 --on {on} --by Kim",
        )


def _care(capsys: Capture, line: str = "care heron --on 2026-01-01 --json") -> dict[str, object]:
    found: dict[str, object] = json.loads(ran(capsys, line))["care"]
    return found


def test_an_empty_register_is_refused(capsys: Capture) -> None:
    ran(capsys, "roller register dipper --on 2025-01-02")
    done: Ran = run(capsys, "care", "heron")
    assert done.code == 2
    assert "care-no-rollers" in done.err


@pytest.mark.usefixtures("read")
def test_a_hardening_roller_is_watched_and_dated(capsys: Capture) -> None:
    rollers = {each["mark"]: each for each in _care(capsys)["rollers"]}  # type: ignore[attr-defined]
    first = rollers["heron-F1"]
    assert first["verdict"]["verdict"] == "watch"
    # 10 points at 8 a year after the 3rd of January 2025: the 4th of April 2026 (arithmetic).
    low, high = (date.fromisoformat(first["forecast"][end]) for end in ("low", "high"))
    assert low < date(2026, 4, 4) < high < date(2027, 1, 1)
    others = [each for mark, each in rollers.items() if mark != "heron-F1"]
    assert all(each["verdict"]["verdict"] == "watch" for each in others), "nobody has read them"


@pytest.mark.usefixtures("read")
def test_exam_week_is_asked_for(capsys: Capture) -> None:
    early = ran(capsys, "care heron --on 2026-01-01 --until 2026-02-01")
    late = ran(capsys, "care heron --on 2026-01-01 --until 2026-07-01")
    assert "No cover is more likely than not" in early
    assert "heron-F1 crosses its limit before 2026-07-01" in late
    assert "deglaze" in late.lower(), "it was never read bare"


@pytest.mark.usefixtures("read")
def test_the_due_board_names_who_waits(capsys: Capture) -> None:
    said = json.loads(ran(capsys, "due heron --on 2026-01-01 --json"))
    tasks = {task["task"]: task for task in said["tasks"]}
    assert tasks["washed"]["last"] is None
    assert "heron-F1" not in tasks["hardness read"]["rollers"]
    ran(capsys, "reading add wash-up heron --on 2025-12-31")
    assert "2026-01-01" in ran(capsys, "due heron --on 2026-01-01")


@pytest.mark.usefixtures("read")
def test_an_order_says_what_is_missing_and_what_cannot_be(capsys: Capture) -> None:
    said = ran(capsys, "order heron:F1 --on 2026-01-01")
    assert "Not to be sent" in said
    assert "ink it meets" in said
    whole = json.loads(ran(capsys, "order heron:F1 --ink oil --wash mineral --on 2026-01-01 --json"))["order"]
    assert "inks" not in whole["missing"]


def test_the_words_of_ink_and_wash_are_those_of_the_checks() -> None:
    assert tuple(each.value for each in InkFamily) == INKS
    assert tuple(each.value for each in WashClass) == WASHES


@pytest.mark.usefixtures("read")
def test_spares_count_the_shelf_and_name_whom_nobody_can_forecast(capsys: Capture) -> None:
    found = json.loads(ran(capsys, "spares heron --json"))["spares"]
    marks = [mark for each in found for mark in each["plan"]["group"]["rollers"]]
    assert len(marks) == len(set(marks)), "a roller is counted once"
    own = next(each for each in found if "heron-F1" in each["plan"]["group"]["rollers"])
    # Read until the end of 2025 and hardening by 8 a year, it has crossed long before a spare could arrive.
    assert own["plan"]["reorder_point"] >= 1
    assert own["plan"]["order"] == own["plan"]["reorder_point"] - len(own["shelf"])
    assert "Without a forecast" in ran(capsys, "spares heron")


@pytest.mark.usefixtures("read")
def test_grinding_never_makes_repeats_fall_closer(capsys: Capture) -> None:
    found = json.loads(ran(capsys, "grind heron --json"))["grinding"]
    assert found["plan"]["miss_mm"] >= found["plan"]["miss_before_mm"]
    assert all(to <= found["now_mm"][roller] for roller, to in found["plan"]["diameters_mm"].items())
    assert "miss each other by" in ran(capsys, "grind heron --must F1")
    refused = run(capsys, "grind", "heron", "--must", "D1")
    assert refused.code == 2
    assert "grind-no-such-form" in refused.err
