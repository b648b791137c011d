"""Whatever is in a file: a press or a refusal with messages, in bounded time. Never another exception.

Counts are kept small here; the longer campaign runs the same properties with more examples.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from filmsplit.formats.press_edit import add_contacts, add_rollers, set_value
from filmsplit.formats.press_file import load, loads
from filmsplit.formats.yaml_tree import MAX_BYTES
from filmsplit.messages import Refusal
from formats.corpus import GOOD

EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "150"))
LONGEST_S = 5.0
"""A megabyte of anything is judged in less; a hang shows as a failure here (this project's own bound)."""

QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
FEWER = settings(QUICK, max_examples=EXAMPLES // 3)

WORDS = "unknown none yes { } [ ] : # &a *a > | @ ` - ' \" 0x1 1e999 .nan .inf 54,5 <<: !!int %YAML --- ..."
BREAKS = ("- ", "? ", "|\n", "\t", "---\n", "\r", "\x85", "\u2028", "\ufeff", "\x00")
PIECES = st.sampled_from((*WORDS.split(), *BREAKS))


def judged(text: str) -> None:
    """Read ``text``; every message of a refusal must be complete."""
    start = time.monotonic()
    try:
        loaded = loads(text)
        problems = loaded.notices
    except Refusal as refusal:
        problems = refusal.problems
        assert problems
    assert time.monotonic() - start < LONGEST_S
    for problem in problems:
        assert problem.what
        assert problem.remedy
        assert problem.place is not None
        assert problem.place.line <= text.count("\n") + text.count("\r") + 2


def refused_with_reasons(act: Callable[..., object], *arguments: object) -> None:
    """Done, or refused with complete messages; any other exception fails the test."""
    try:
        act(*arguments)
    except Refusal as refusal:
        reasons = refusal.problems
    else:
        return
    assert reasons
    assert all(problem.what and problem.remedy for problem in reasons)


@QUICK
@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    judged(text)
    judged("filmsplit: press 1\n" + text)


@QUICK
@given(data=st.binary(max_size=300))
def test_any_bytes(tmp_path_factory, data: bytes) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(data)
    refused_with_reasons(load, path)


@QUICK
@given(at=st.integers(0, len(GOOD)), cut=st.integers(0, 40), piece=st.one_of(PIECES, st.text(max_size=20)))
def test_a_good_file_with_a_piece_replaced(at: int, cut: int, piece: str) -> None:
    judged(GOOD[:at] + piece + GOOD[at + cut :])


LINES = GOOD.splitlines()


@QUICK
@given(st.lists(st.tuples(st.integers(0, len(LINES) - 1), st.integers(0, len(LINES) - 1)), max_size=6))
def test_a_good_file_with_lines_in_other_places(swaps: list[tuple[int, int]]) -> None:
    lines = list(LINES)
    for first, second in swaps:
        lines[first], lines[second] = lines[second], lines[first]
    judged("\n".join(lines) + "\n")


@QUICK
@given(
    line=st.integers(0, len(LINES) - 1),
    value=st.one_of(st.floats().map(repr), st.integers().map(str), st.text(max_size=12), PIECES),
)
def test_a_good_file_with_a_value_replaced(line: int, value: str) -> None:
    key, colon, _ = LINES[line].partition(": ")
    judged("\n".join([*LINES[:line], key + colon + value, *LINES[line + 1 :]]) + "\n")


def test_great_depth_width_and_length() -> None:
    head = "filmsplit: press 1\n"
    great = MAX_BYTES - 1000
    for text in (
        "[" * great,
        "{a: " * (great // 4),
        "- " * (great // 2),
        "? " * (great // 2),
        head + "a: " + "[" * 900,
        head + "\n".join(" " * depth + "a:" for depth in range(1000)),
        head + "note: " + "x" * great,
        head + "face_mm: " + "9" * great,
        head + "id: " + '"' + "\\u0041" * (great // 6) + '"',
        head + "\n".join(f"k{number}: 1" for number in range(90_000)),
        head + "units: [" + "{}, " * 40_000 + "]",
        head + "units:\n" + "  - {id: A}\n" * 40_000,
        head + "a: &a [x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n",
        "#" * great,
        "\n" * great,
        "'" * great,
        "x" * (MAX_BYTES + 1),
        head + "note: |\n" + "  line\n" * 100_000,
    ):
        judged(text)


@FEWER
@given(way=st.text(max_size=30), value=st.text(max_size=30))
def test_any_edit(way: str, value: str) -> None:
    for where in (way, "F1.diameter_mm", "F1.name", "D1.cover.thickness_mm", "fountain.zone_widths_mm"):
        refused_with_reasons(set_value, GOOD, where, value)


@FEWER
@given(st.text(max_size=60), st.text(alphabet="id,role;F1frm\n\"'x", max_size=60))
def test_any_table(rows: str, table: str) -> None:
    for add, head in ((add_rollers, "id,role,name\n"), (add_contacts, "a,b,kind\n")):
        for text in (table, head + rows, head + table):
            refused_with_reasons(add, GOOD, text)
