"""`filmsplit stripe-map`: every contact that has a stripe, what it shows, and nothing to turn on a bad roller."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import run
from filmsplit.actions.find import find_press
from filmsplit.reports.typeset import Paper
from reports.pages import dots, pages

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """The Heron: F2 fit and read, its stripe on the plate a wedge; F1 runs out."""
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    for line in (
        "roller register heron --on 2026-01-02",
        "reading add hardness heron:F2 27 27 27 27 27 --temperature 23 --on 2026-01-03",
        "reading add run-out heron:F2 0.02 0.02 0.02 --on 2026-01-03",
        "reading add diameter heron:F2 50 50 50 --on 2026-01-03",
        "reading add stripe heron:plate/F2 3.0 3.6 4.2 --temperature 35 --on 2026-01-03",
        "reading add run-out heron:F1 0.03 0.20 0.04 --on 2026-01-03",
        "reading add stripe heron:plate/F1 5.5 5.6 5.5 --temperature 35 --on 2026-01-03",
    ):
        ran(capsys, line)


def ran(capsys: Capture, line: str) -> str:
    done = run(capsys, *line.split())
    assert done.code == 0, done.err
    return done.out


def contacts(capsys: Capture) -> dict[str, Any]:
    (unit,) = json.loads(ran(capsys, "stripe-map heron --json"))["map"]["units"]
    return {each["contact"]: each for each in unit["contacts"]}


def test_a_wedge_on_a_fit_roller_is_set_and_a_bad_roller_holds(capsys: Capture) -> None:
    found = contacts(capsys)
    assert found["F2/plate"]["sign"] == "set"
    assert {each["shape"] for each in found["F2/plate"]["shapes"]} >= {"taper"}
    assert found["F1/plate"]["sign"] == "hold"
    assert any("run-out" in str(each) for each in found["F1/plate"]["held"])
    assert found["F1/D1"]["sign"] == "read"
    said = " ".join(ran(capsys, "stripe-map heron").split())
    assert "Too wide" in said
    assert "ease both ends" not in said[said.index("F1/plate: F1") : said.index("F2/plate: Tapered")]


def test_the_target_is_narrower_on_cold_rollers(capsys: Capture) -> None:
    """A cover that cools shrinks with its axis where it was, so the same setting shows a narrower stripe (physics)."""
    warm = contacts(capsys)["F2/plate"]["target_mm"]
    ran(capsys, "reading add stripe heron:plate/F2 3.0 3.1 3.0 --temperature 20 --on 2026-01-04")
    cold = contacts(capsys)["F2/plate"]
    press = find_press("heron").press
    written = next(each for each in press.units[0].contacts if each.id == "F2/plate")
    assert warm == pytest.approx(written.stripe.target_mm), "written targets are those at 35 °C"
    assert cold["target_mm"] < warm
    assert cold["warmth_used"]


def test_a_stripe_of_another_roller_says_nothing_of_this_one(capsys: Capture) -> None:
    ran(capsys, "roller add NEW --on 2026-01-04")
    ran(capsys, "roller move heron:F2 shelf --on 2026-01-05")
    ran(capsys, "roller move NEW heron:F2 --on 2026-01-05")
    found = contacts(capsys)["F2/plate"]
    assert (found["sign"], found["day"]) == ("read", None)


@pytest.mark.parametrize("size", list(Paper))
def test_the_sheet_has_every_contact_and_prints_without_colour(size: Paper, tmp_path: Path, capsys: Capture) -> None:
    to = tmp_path / "map.pdf"
    ran(capsys, f"stripe-map heron --to {to} --paper {size.value}")
    made = pages(to.read_bytes())
    said = " ".join(" ".join(page.text for page in made).split())
    for contact in contacts(capsys):
        assert contact in said
    for each in ("3 / 3.6 / 4.2 mm at 35 °C", "hold: do not turn", "isolate it and lock it", "Invented press"):
        assert each in said
    for page, picture in zip(made, dots(to.read_bytes()), strict=True):
        assert page.size_mm == pytest.approx(size.size_mm, abs=0.1)
        assert page.overlapping() == []
        spread = picture.max(axis=2).astype(int) - picture.min(axis=2)
        assert spread.max() <= 8, "black on white"


def test_a_drawing_shows_one_unit(tmp_path: Path, capsys: Capture) -> None:
    ran(capsys, f"stripe-map heron --to {tmp_path / 'map.svg'}")
    assert "1 F1/plate: hold" in (tmp_path / "map.svg").read_text(encoding="utf-8")
    ran(capsys, "roller register lapwing")
    refused = run(capsys, "stripe-map", "lapwing", "--to", str(tmp_path / "two.svg"))
    assert refused.code == 2
    assert "stripe-map-one-unit" in refused.err
