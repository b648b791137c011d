"""`filmsplit foresee` as typed: what it prints, draws and refuses."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from PIL import Image

from cli.terminal import run

Capture = pytest.CaptureFixture[str]
SCHEMA = Path(__file__).parents[2] / "docs" / "foresee-1.schema.json"


@pytest.fixture(autouse=True)
def no_records_of_this_machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))


@pytest.fixture(scope="module")
def poster(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tint with a bare window near the lead edge, 300 x 280 mm at 50 dpi (invented)."""
    tint = np.full((590, 551), 90, dtype=np.uint8)
    tint[40:120, 200:320] = 255
    path = tmp_path_factory.mktemp("work") / "poster.png"
    Image.fromarray(tint).save(path, dpi=(50, 50))
    return path


def test_the_ghost_of_a_window_is_told_and_drawn(capsys: Capture, poster: Path, tmp_path: Path) -> None:
    """Dark, behind a bare window (even split: what it does not take stays on the form roller)."""
    picture = tmp_path / "ghosts.svg"
    ran = run(capsys, "foresee", "heron", str(poster), "--visible", "1", "--picture", str(picture), "--json")
    assert ran.code == 0, ran.err
    answer = json.loads(ran.out)
    Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(answer)
    ghost = answer["inks"][0]["ghosts"][0]
    element = ghost["cause"]["element"]
    assert ghost["dark"]
    assert ghost["cause"]["explained"] > 0.8
    # the window as drawn: 80 x 120 dots of 0.508 mm, on cells of some millimetres
    assert element["tail_mm"] - element["lead_mm"] == pytest.approx(80 * 0.508, abs=6)
    assert element["gear_mm"] - element["operator_mm"] == pytest.approx(120 * 0.508, abs=12)
    assert ghost["at"]["lead_mm"] > element["tail_mm"]
    assert picture.read_text(encoding="utf-8").lstrip().startswith("<svg")


def test_an_even_job_has_no_ghost(capsys: Capture) -> None:
    ran = run(capsys, "foresee", "heron", "10x40")
    assert ran.code == 0, ran.err
    assert "No ghost" in ran.out
    assert "invented default" in ran.out


def test_an_impossible_visibility_is_refused(capsys: Capture) -> None:
    ran = run(capsys, "foresee", "heron", "10x40", "--visible", "90")
    assert ran.code == 2
    assert "--visible" in ran.err or "percentage" in ran.err


def test_cures_are_ranked_told_and_drawn(capsys: Capture, poster: Path, tmp_path: Path) -> None:
    picture = tmp_path / "ghosts.svg"
    ran = run(
        capsys,
        "foresee",
        "heron",
        str(poster),
        "--cures",
        "--fixed-guide",
        "--one-pass",
        "--picture",
        str(picture),
        "--json",
    )
    assert ran.code == 0, ran.err
    answer = json.loads(ran.out)
    Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(answer)
    cures = answer["cures"]
    left = [each["strongest"] for each in cures["cures"]]
    assert left == sorted(left)
    assert cures["cures"][0]["gain"] > 0.1
    assert {"shifted", "stroke", "timing", "press", "passes"} <= {each["kind"] for each in cures["refused"]}
    assert (tmp_path / "ghosts-cured.svg").read_text(encoding="utf-8").lstrip().startswith("<svg")


def test_a_stroke_that_is_no_range_is_refused(capsys: Capture) -> None:
    ran = run(capsys, "foresee", "heron", "10x40", "--cures", "--stroke", "20-0")
    assert ran.code == 2
    assert "--stroke" in ran.err
