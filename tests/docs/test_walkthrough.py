"""The walk-through does what it says: its tables and its commands, and nothing else, make a clean press file."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from filmsplit.cli.main import filmsplit as command
from filmsplit.formats.press_file import LoadedPress, load
from filmsplit.messages import Severity

PAGE = Path(__file__).parents[2] / "docs" / "describe-your-press.md"
BLOCK = re.compile(r"^```(\w+)(?: file=(\S+))?\n(.*?)^```", re.MULTILINE | re.DOTALL)
ROUGH_MM = 4.0
"""Centres read off a picture with a ruler are a few millimetres off (common practice)."""


def _follow(folder: Path) -> None:
    """Save every table of the page and run every command on it, in order."""
    for kind, file, body in BLOCK.findall(PAGE.read_text(encoding="utf-8")):
        if kind == "text" and file:
            (folder / file).write_text(body, encoding="utf-8")
        elif kind == "console":
            for line in body.splitlines():
                program, *arguments = shlex.split(line.removeprefix("$ "))
                assert program == "filmsplit", line
                _run(arguments)


def _run(arguments: list[str]) -> None:
    """Run one command as typed; any refusal, click error or exit code other than 0 fails the test."""
    code = None
    try:
        command.main(args=arguments, prog_name="filmsplit", standalone_mode=False)
    except SystemExit as done:
        code = done.code
    assert not code, arguments


@pytest.fixture
def walked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> LoadedPress:
    monkeypatch.chdir(tmp_path)
    _follow(tmp_path)
    return load(tmp_path / "wren.yaml")


def test_the_page_ends_with_a_clean_file_of_eleven_rollers_and_fourteen_contacts(walked: LoadedPress) -> None:
    (unit,) = walked.press.units
    assert len(unit.rollers) == 11
    assert len(unit.contacts) == 14
    assert {notice.severity for notice in walked.notices} <= {Severity.INFORMATION}


def test_rough_centres_were_moved_but_not_far(walked: LoadedPress) -> None:
    moved = [move.moved_mm for move in walked.moves if not move.placed_by_contacts]
    assert 0.1 < max(moved) < ROUGH_MM


def test_what_the_page_changes_last_is_in_the_file(walked: LoadedPress) -> None:
    (unit,) = walked.press.units
    assert unit.roller("T1").cover is not None
    assert unit.roller("T1").cover.thickness_mm == 8
    target = next(contact.stripe.target_mm for contact in unit.contacts if contact.id == "F1/plate")
    assert target == 3.2


def test_the_striped_sheet_of_the_page_names_f1(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    _follow(tmp_path)
    capsys.readouterr()
    _run(["marks", "wren.yaml", "20", "164.5", "309"])
    first_row = next(
        line for line in capsys.readouterr().out.splitlines() if line.strip().endswith("mm") is False and "%" in line
    )
    assert "F1" in first_row


def test_drawing_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    _follow(tmp_path)
    assert (tmp_path / "wren.svg").read_text(encoding="utf-8").startswith("<svg")
