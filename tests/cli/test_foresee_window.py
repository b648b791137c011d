"""The demo poster that ghosts: foreseen from its plate file, with the cure that docs/foresee.md tells of."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.actions.demo_works import works, write_work

Capture = pytest.CaptureFixture[str]


def test_the_ghost_of_the_window_is_foreseen_and_its_cure_found(capsys: Capture, tmp_path: Path) -> None:
    (file,) = write_work(works()["window"], tmp_path).files
    film, records = tmp_path / "film.svg", tmp_path / "none.sqlite"
    words = ["--sheet", "420x300", "--lead", "10", "--cures", "--film", str(film), "--json", "--records", str(records)]
    ran = run(capsys, "foresee", "heron", str(file), *words)
    assert ran.code == 0, ran.err
    told = json.loads(ran.out)
    (ghost,) = told["inks"][0]["ghosts"]
    assert ghost["dark"]
    assert ghost["strength"] == pytest.approx(0.042, abs=0.001)
    assert (round(ghost["at"]["lead_mm"]), round(ghost["at"]["tail_mm"])) == (221, 249)
    assert ghost["cause"]["forms"] == ["F1"]
    assert ghost["delta_e_00"] > 0
    assert film.read_text(encoding="utf-8").startswith("<svg")
    course = told["inks"][0]["course"]
    assert course["start"][-1]["film"] == pytest.approx(1.0, abs=0.02)
    assert 0 < course["between_sheets"] < course["along_sheet"] < 0.5
    cures = told["cures"]["cures"]
    assert [each["kind"] for each in cures[:2]] == ["both", "turned"]
    assert [each["strongest"] for each in cures[:2]] == pytest.approx([0.016, 0.018], abs=0.001)
    assert cures[1]["strongest"] < told["visible"] < told["cures"]["before"]
