"""`filmsplit roller accept` and `cloth-cover`: what is on record decides, and what is not is named."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import run
from filmsplit.cli.roller_commands import COMPOUNDS
from filmsplit.press.words import Material

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    facts = ("role=distributor", "drawn_diameter_mm=54", "face_mm=330", "journal_mm=15", "drawn_hardness_shore_a=25")
    facts += ("cover_material=nitrile rubber", "cover_thickness_mm=8")
    ran(capsys, "roller", "add", "N1", *(part for each in facts for part in ("--fact", each)), "--on", "2026-03-01")


def ran(capsys: Capture, *words: str) -> str:
    done = run(capsys, *words)
    assert done.code == 0, done.err
    return done.out


def read(capsys: Capture, line: str) -> None:
    ran(capsys, "reading", "add", *line.split(), "--arrival", "--on", "2026-03-02")


def judged(capsys: Capture, *more: str) -> dict[str, Any]:
    made = ("--face-mm", "330", "--journal-mm", "15", "--made", "2026-01-02", "--compound", "nitrile rubber")
    said = ran(capsys, "roller", "accept", "N1", "--on", "2026-03-03", "--json", *(more or made))
    found: dict[str, Any] = json.loads(said)["arrival"]
    return found


def good(capsys: Capture) -> None:
    read(capsys, "hardness N1 26 26 26 26 26 --temperature 23")
    read(capsys, "diameter N1 54.01 54.0 54.0")
    read(capsys, "run-out N1 0.01 0.02 0.01")


def test_a_roller_as_drawn_is_accepted(capsys: Capture) -> None:
    good(capsys)
    assert judged(capsys)["decision"] == "accept"
    assert "Write the value down" in ran(capsys, "roller", "accept", "N1")


def test_what_nobody_read_is_asked_for(capsys: Capture) -> None:
    assert judged(capsys, "--face-mm", "330")["decision"] == "ask"
    said = ran(capsys, "roller", "accept", "N1")
    assert "Not read: hardness" in said
    assert "no reading is marked" in said


def test_what_is_proved_out_goes_back(capsys: Capture) -> None:
    good(capsys)
    read(capsys, "run-out N1 0.01 0.30 0.01")  # 0.30 mm is far beyond 0.05 (common practice) and the dial's 0.01
    assert judged(capsys)["decision"] == "return"
    assert "RETURN" in ran(capsys, "roller", "accept", "N1")


def test_a_later_reading_is_not_one_of_the_arrival(capsys: Capture) -> None:
    good(capsys)
    ran(capsys, "reading", "add", "run-out", "N1", "0.01", "0.30", "0.01", "--on", "2026-03-03")
    assert judged(capsys)["decision"] == "accept"


def test_another_compound_and_no_role(capsys: Capture) -> None:
    good(capsys)
    assert judged(capsys, "--compound", "polyurethane")["decision"] == "return"
    ran(capsys, "roller", "add", "N2")
    refused = run(capsys, "roller", "accept", "N2")
    assert refused.code == 2
    assert "accept-without-role" in refused.err


def test_the_words_of_compounds_are_those_of_the_press_file() -> None:
    assert tuple(each.value for each in Material) == COMPOUNDS


def test_a_fresh_cloth_moves_its_line_on_the_due_board(capsys: Capture) -> None:
    ran(capsys, "roller", "register", "heron", "--on", "2026-01-02")

    def cloth() -> dict[str, Any]:
        tasks = json.loads(ran(capsys, "due", "heron", "--on", "2026-03-01", "--json"))["tasks"]
        return next(dict(each) for each in tasks if each["task"] == "cloth cover changed")

    waiting = cloth()
    assert waiting["on"] is None, "never done"
    for mark in waiting["rollers"]:
        ran(capsys, "reading", "add", "cloth-cover", mark, "--on", "2026-02-20")
    assert cloth()["last"] == "2026-02-20"
