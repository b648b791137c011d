"""The page that introduces the workshop says what the press files say."""

from __future__ import annotations

from itertools import takewhile
from pathlib import Path

import pytest

from filmsplit.actions.demo_works import works
from filmsplit.formats.press_file import load, loads, read_text
from filmsplit.library.works import DEMO_JOB
from filmsplit.library.workshop import demo_path, demo_presses, demo_workshop
from filmsplit.messages import Refusal
from filmsplit.press import Press
from filmsplit.press.words import Role, System

PAGE = Path(__file__).parents[2] / "docs" / "workshop.md"


def row_of(press: Press) -> list[str]:
    """What the table on the page should say about a press, as far as it is numbers and words of the file."""
    unit = press.units[0]
    forms = sum(r.role is Role.FORM and r.system is not System.DAMPENING for r in unit.rollers)
    fountain = unit.fountain
    words = f"{fountain.keys.kind.value}, {fountain.blade.value}, {fountain.sweep.kind.value}"
    return [
        press.id,
        str(len(press.units)),
        f"{press.sheet_width_mm:g} x {press.sheet_length_mm:g} mm",
        f"{unit.cylinders.plate.diameter_mm:g} mm",
        str(forms),
        str(len(unit.rollers)),
        words,
        "yes" if press.hand_wheel else "no",
    ]


def table(head: str) -> list[list[str]]:
    """The rows of the table whose first head is ``head``."""
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith(f"| {head} |"))
    rows = takewhile(lambda line: line.startswith("|"), lines[first + 2 :])
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in rows]


def written_rows() -> list[list[str]]:
    return [[*row[:6], *row[8:]] for row in table("press")]


def test_table_says_what_the_files_say() -> None:
    assert written_rows() == [row_of(load(demo_path(press_id)).press) for press_id in demo_presses()]


def test_table_of_works_says_what_they_are() -> None:
    inks = {"process-black": "black", "process-cyan": "cyan"}
    for row, work in zip(table("work"), works().values(), strict=True):
        assert row[0] == f"`{work.slug}`"
        assert row[1].split(",")[0] == work.press
        assert row[2] == ", ".join(inks[plate.ink] for plate in work.plates)
        assert ("the demo job" in row[3]) == (work.slug == DEMO_JOB)


def test_page_names_the_workshop_and_says_it_is_invented() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert demo_workshop().name in text
    assert "**All of this is invented.**" in text


def test_the_suggested_contact_jams_the_lapwing() -> None:
    """The page suggests a contact of S1 and S3: with D1 (or D2) a ring of three, which cannot turn (geometry)."""
    text = read_text(demo_path("lapwing"))
    jammed = text.replace("    contacts:\n", "    contacts:\n      - {a: S1, b: S3}\n", 1)
    with pytest.raises(Refusal) as refusal:
        loads(jammed)
    jams = [problem for problem in refusal.value.problems if problem.slug == "train-jams"]
    assert len(jams) == 1
    assert "S1" in jams[0].what
    assert "S3" in jams[0].what
