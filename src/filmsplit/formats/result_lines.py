"""Results kept as lines of JSON, added one by one: a line is whole, or it is not there."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from filmsplit.messages import Problem, Refusal


def read_lines(kept: Path) -> list[dict[str, Any]]:
    """The objects of a file, one a line; none where there is no file. :class:`Refusal` where it is something else.

    A last line without its end was half written: it is cut off, so that the next begins on a line of its own.
    """
    if not kept.exists():
        return []
    data = kept.read_bytes()
    whole = data[: data.rfind(b"\n") + 1]
    found = []
    for number, line in enumerate(whole.splitlines(), start=1):
        try:
            told = json.loads(line)
        except ValueError as error:
            raise foreign(kept, number) from error
        if not isinstance(told, dict):
            raise foreign(kept, number)
        found.append(told)
    if len(whole) < len(data):
        with kept.open("r+b") as file:
            file.truncate(len(whole))
    return found


def add_line(kept: Path, told: Mapping[str, object]) -> None:
    """Add an object as a line of its own."""
    with kept.open("a", encoding="utf-8") as file:
        file.write(json.dumps(dict(told), ensure_ascii=False) + "\n")


def foreign(kept: Path, number: int) -> Refusal:
    """What to raise for a line that is none of ours."""
    return Refusal(Problem("study-file-foreign", {"file": str(kept), "line": number}))
