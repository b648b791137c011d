"""The page about setting: its commands, in their order, on a shop whose first form roller was read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cli.terminal import run

PAGE = Path(__file__).parents[2] / "docs" / "setting.md"
BEFORE = (
    "roller register heron",
    "reading add hardness heron:F1 27 27 27 27 27 --temperature 23",
    "reading add diameter heron:F1 54 54 54 --temperature 22",
    "reading add run-out heron:F1 0.02 0.02 0.02",
)


def test_the_commands_of_the_page_set_a_roller(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    monkeypatch.chdir(tmp_path)
    for line in BEFORE:
        assert run(capsys, *line.split()).code == 0
    block = PAGE.read_text(encoding="utf-8").split("```")[1].strip().splitlines()
    told = []
    for line in block:
        program, *words = re.split(r"\s{2,}", line)[0].split()
        assert program == "filmsplit"
        done = run(capsys, *words)
        assert done.code == 0, f"{line}: {done.err}"
        told.append(done.out)
    assert (tmp_path / "setting.pdf").read_bytes().startswith(b"%PDF")
    assert "Operator's side: ease" in told[3]
    assert "On record" in told[4]
    assert "Even and right" in told[6]
