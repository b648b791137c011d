"""A press file that somebody brings: read in a process of its own, whole or not at all, and bounded.

Sources: Euler's formula for the most pairs of bodies that can touch in a plane; the largest press files are made here.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import time
from itertools import combinations

import pytest

from filmsplit.formats.bounded_process import Bounds
from filmsplit.formats.press_door import BOUNDS, brought_press
from filmsplit.formats.press_file import check_geometry, describe, loads
from filmsplit.formats.press_schema import schema
from filmsplit.library.workshop import demo_path
from filmsplit.messages import Problem, Refusal
from filmsplit.press.press import MOST_CONTACTS, MOST_ROLLERS, MOST_UNITS

posix = pytest.mark.skipif(os.name != "posix", reason="limits of processes are kept by POSIX systems")


def press_file(units: int, rollers: int, *, contacts: int | None = None, piled: bool = False) -> str:
    """A press of equal units, each a chain of rollers on a grid; ``piled``: all rollers at one place."""
    lines = ["filmsplit: press 1", "id: wren", "units:"]
    for unit in range(units):
        lines += [f"  - id: U{unit}", "    cylinders: {plate_turns: clockwise}", "    rollers:"]
        for number in range(rollers):
            x_mm, y_mm = (0, 0) if piled else (45 * (number % 10), 300 + 45 * (number // 10))
            role = "rider" if number else "form"
            centre = f"{{x_mm: {x_mm}, y_mm: {y_mm}}}"
            lines.append(f"      - {{id: R{number}, role: {role}, diameter_mm: 30, centre: {centre}}}")
        pairs = [(f"R{a}", f"R{b}") for a, b in combinations(range(rollers), 2)]
        chain = [("R0", "plate"), *((f"R{number}", f"R{number - 1}") for number in range(1, rollers))]
        chosen = chain if contacts is None else pairs[:contacts]
        lines += ["    contacts:", *(f"      - {{a: {a}, b: {b}}}" for a, b in chosen)]
    return "\n".join(lines) + "\n"


def refused(data: bytes, *, bounds: Bounds = BOUNDS) -> tuple[Problem, ...]:
    with pytest.raises(Refusal) as refusal:
        brought_press(data, bounds=bounds)
    assert all(each.what and each.remedy for each in refusal.value.problems)
    return refusal.value.problems


def test_a_press_comes_back_character_for_character() -> None:
    data = b"\xef\xbb\xbf" + demo_path("heron").read_bytes().replace(b"\n", b"\r\n")
    found = brought_press(data)
    assert (found.id, found.text.encode()) == ("heron", data)


def test_only_the_id_is_another_where_one_is_asked_for() -> None:
    text = demo_path("heron").read_text()
    found = brought_press(text.encode(), id="second")
    differ = [(a, b) for a, b in zip(text.splitlines(), found.text.splitlines(), strict=True) if a != b]
    assert differ == [("id: heron", "id: second")]


def test_what_is_wrong_is_said_with_its_line_and_never_with_the_name_the_file_came_with() -> None:
    (problem,) = refused(b"filmsplit: press 1\nid: wren\nunits: []\nface_mm: wide\n")
    assert (problem.path, problem.place and (problem.place.file, problem.place.line)) == (
        ("face_mm",),
        ("press.yaml", 4),
    )


@pytest.mark.parametrize(
    ("text", "where", "count", "most"),
    [
        (press_file(MOST_UNITS + 1, 1), ("units",), MOST_UNITS + 1, MOST_UNITS),
        (press_file(1, MOST_ROLLERS + 1), ("units", "U0", "rollers"), MOST_ROLLERS + 1, MOST_ROLLERS),
        (
            press_file(1, MOST_ROLLERS, contacts=MOST_CONTACTS + 1),
            ("units", "U0", "contacts"),
            MOST_CONTACTS + 1,
            MOST_CONTACTS,
        ),
    ],
    ids=["units", "rollers", "contacts"],
)
def test_more_than_any_press_has_is_refused_with_the_limit(
    text: str, where: tuple[str, ...], *, count: int, most: int
) -> None:
    problems = [each for each in refused(text.encode()) if each.slug == "press-file-list-too-long"]
    assert [each.path for each in problems] == [where]
    assert str(count) in problems[0].what
    assert str(most) in problems[0].what


def test_as_much_as_a_press_may_have_is_read() -> None:
    assert len(describe(press_file(MOST_UNITS, 2)).press.units) == MOST_UNITS
    full = describe(press_file(1, MOST_ROLLERS, contacts=MOST_CONTACTS)).press.units[0]
    assert (len(full.rollers), len(full.contacts)) == (MOST_ROLLERS, MOST_CONTACTS)


def test_an_editor_knows_the_limits_too() -> None:
    unit = schema()["$defs"]["Unit"]["properties"]
    assert schema()["properties"]["units"]["maxItems"] == MOST_UNITS
    assert (unit["rollers"]["maxItems"], unit["contacts"]["maxItems"]) == (MOST_ROLLERS, MOST_CONTACTS)


def calls(text: str) -> int:
    """How many functions looking at a press calls: what its time grows with, on any computer."""
    profile = cProfile.Profile()
    description = describe(text)
    profile.enable()
    try:
        check_geometry(description)
    except Refusal:
        pass
    finally:
        profile.disable()
    return pstats.Stats(profile).total_calls  # type: ignore[attr-defined,no-any-return]


def test_looking_at_a_press_takes_as_long_for_each_unit_however_many_there_are() -> None:
    """What every roller of every unit asks of the whole press must be looked up, not looked through."""
    calls(press_file(1, 20))  # what is loaded once
    few, many = calls(press_file(3, 20)) / 3, calls(press_file(12, 20)) / 12
    assert many < 1.2 * few


@posix
def test_a_pile_of_rollers_keeps_nobody_waiting() -> None:
    """The most rollers a file may have, all at one place: nothing that can be, in as long as it may take and no more.

    Stopped or read, it ends in time; a process that is not ended would go on for tens of seconds.
    """
    begun = time.monotonic()
    bounds = Bounds(memory_bytes=BOUNDS.memory_bytes, seconds=3.0, result_bytes=BOUNDS.result_bytes)
    (problem,) = refused(press_file(MOST_UNITS, MOST_ROLLERS, piled=True).encode(), bounds=bounds)
    assert problem.slug == "press-brought-too-slow"
    assert "3" in problem.what
    assert time.monotonic() - begun < 10


@pytest.mark.parametrize(
    ("ended", "said"),
    [
        (Problem("reader-out-of-memory", {"file": "x", "most_mb": 1024}), "press-brought-too-big"),
        (Problem("reader-stopped", {"file": "x"}), "press-brought-stopped"),
    ],
    ids=["memory", "end"],
)
def test_however_the_process_ends_it_is_said_of_a_press_file(
    monkeypatch: pytest.MonkeyPatch, ended: Problem, said: str
) -> None:
    """How a process ends is tested where processes are bounded; here, that nobody is told of pages and pictures."""

    def ends(*_asked: object, **_told: object) -> None:
        raise Refusal(ended)

    monkeypatch.setattr("filmsplit.formats.press_door.bounded", ends)
    assert [each.slug for each in refused(b"")] == [said]


def test_a_real_press_of_sixty_rollers_is_looked_at_in_a_moment() -> None:
    begun = time.process_time()
    with pytest.raises(Refusal):
        loads(press_file(1, MOST_ROLLERS))
    assert time.process_time() - begun < 2.0
