"""`filmsplit roller card`: what the records say of a roller, on paper, several rollers in one file."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.reports.typeset import Paper
from reports.pages import Page, pages

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """The Heron's rollers. F1 hardens by 8 points a year and runs out; a spare on the shelf, and a roller retired."""
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    ran(capsys, "roller register heron --on 2025-01-02")
    ran(capsys, "roller add SPARE --fact drawn_diameter_mm=54.5 --fact supplier=Covers --note rack-3 --on 2025-01-02")
    ran(capsys, "roller add OLD --on 2025-01-02")
    ran(capsys, "roller retire OLD --reason cracked --on 2025-02-02")
    ran(capsys, "reading add re-cover heron:F1 --on 2025-01-03")
    for number in range(7):
        on = date(2025, 1, 5) + timedelta(days=60 * number)
        value = f"{25 + 8 * 60 * number / 365:.1f}"
        ran(capsys, f"reading add hardness heron:F1 {value} {value} {value} --temperature 23 --on {on} --by Kim")
    ran(capsys, "reading add run-out heron:F1 0.03 0.12 0.04 --on 2025-12-02")


def ran(capsys: Capture, line: str) -> str:
    done = run(capsys, *line.split())
    assert done.code == 0, done.err
    return done.out


def cards(capsys: Capture, to: Path, asked: str, size: Paper = Paper.A4) -> list[Page]:
    ran(capsys, f"roller card {asked} --to {to} --paper {size.value}")
    made = pages(to.read_bytes())
    for page in made:
        assert page.size_mm == pytest.approx(size.size_mm, abs=0.1)
        assert page.overlapping() == []
        assert page.crossed() == []
    return made


@pytest.mark.parametrize("size", list(Paper))
def test_the_card_says_what_the_records_and_the_verdict_say(size: Paper, tmp_path: Path, capsys: Capture) -> None:
    made = cards(capsys, tmp_path / "card.pdf", "heron:F1", size)
    said = " ".join(" ".join(page.text for page in made).split())
    care = json.loads(ran(capsys, "care heron --json"))["care"]
    own = next(each for each in care["rollers"] if each["mark"] == "heron-F1")
    for day in ("low", "median", "high"):
        assert own["forecast"][day] in said
    assert own["verdict"]["verdict"] == "act"
    for each in (
        "heron-F1",
        "Invented press",
        "ACT",
        "run-out: 0.12",
        "re-cover",
        "heron:A.F1",
        "32.9 32.9 32.9",
        "Kim",
    ):
        assert each in said
    assert "diameters" in said, "what nobody has read is named"


def test_each_roller_begins_a_page_of_its_own_and_names_it_below(tmp_path: Path, capsys: Capture) -> None:
    made = cards(capsys, tmp_path / "cards.pdf", "heron:F1 SPARE OLD")
    firsts = [page.text.split()[2] for page in made if page.text.startswith("Roller card:")]
    assert firsts == ["heron-F1", "SPARE", "OLD"]
    spare = next(page.text for page in made if page.text.startswith("Roller card: SPARE"))
    assert spare.count("SPARE") == 2, "in the heading and at the foot"
    assert "rack-3" in spare
    assert "No forecast" in spare
    assert "Retired: judged no more." in made[-1].text


def test_a_press_is_all_its_rollers_and_nothing_is_written_over(tmp_path: Path, capsys: Capture) -> None:
    to = tmp_path / "cards.pdf"
    said = ran(capsys, f"roller card --press heron --to {to}")
    count = len(json.loads(ran(capsys, "roller list --press heron --json"))["rollers"])
    assert f"{count} cards" in said
    assert run(capsys, "roller", "card", "--press", "heron", "--to", str(to)).code == 2
    assert "labels-of-nothing" in run(capsys, "roller", "card", "--press", "wagtail", "--to", str(to)).err
