"""The page about care: every command it shows does what it says, on a shop that has read a roller."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cli.terminal import run

PAGE = Path(__file__).parents[2] / "docs" / "care.md"


def shown() -> list[str]:
    """The commands of the page's first block, without what is said beside them."""
    block = PAGE.read_text(encoding="utf-8").split("```")[1]
    return [re.split(r"\s{2,}", line)[0] for line in block.strip().splitlines()]


def test_the_page_shows_the_papers() -> None:
    written = {line.split(" --to ")[1] for line in shown() if " --to " in line}
    assert {"card.pdf", "map.pdf", "plan.pdf", "order.pdf"} <= written


def test_every_command_of_the_page_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    monkeypatch.chdir(tmp_path)
    for line in (
        "roller register heron --on 2026-01-02",
        "roller register wagtail --on 2026-01-02",
        "reading add hardness heron:F1 27 27 27 27 27 --temperature 23 --on 2026-01-03",
    ):
        assert run(capsys, *line.split()).code == 0
    for line in shown():
        program, *words = line.split()
        assert program == "filmsplit"
        done = run(capsys, *words)
        assert done.code == 0, f"{line}: {done.err}"
        if "--to" in words:
            assert (tmp_path / words[words.index("--to") + 1]).read_bytes().startswith(b"%PDF")
