"""The page about a press as found: every command it shows works, in its order."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cli.terminal import run

PAGE = Path(__file__).parents[2] / "docs" / "as-found.md"


def test_the_commands_of_the_page_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    monkeypatch.chdir(tmp_path)
    run(capsys, "roller", "register", "heron")
    run(capsys, "reading", "add", "diameter", "heron:F2", "49.6", "49.6", "49.6", "--temperature", "22")
    for line in PAGE.read_text(encoding="utf-8").split("```")[1].strip().splitlines():
        program, *words = re.split(r"\s{2,}", line)[0].split()
        assert program == "filmsplit"
        done = run(capsys, *words)
        assert done.code == 0, f"{line}: {done.err}"
    assert "diameter_mm: 49.6" in (tmp_path / "found.yaml").read_text(encoding="utf-8")
