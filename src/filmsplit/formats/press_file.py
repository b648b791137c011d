"""Read a press file: one text file that describes a press. Everything wrong is said at once, with line and remedy."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path as FilePath
from typing import Any

from filmsplit.formats import yaml_tree
from filmsplit.formats.press_assume import Context
from filmsplit.formats.press_fields import KIND_LINE, KIND_VALUE
from filmsplit.formats.press_reader import read_record
from filmsplit.formats.press_reading import Path, Reading, in_words, place_in
from filmsplit.formats.press_rules import check_references
from filmsplit.formats.scalars import shown
from filmsplit.messages import Place, Problem, Refusal, Severity
from filmsplit.press import Press

MOST_KEPT = 16
"""Presses that a running program keeps at hand: more than a small shop has."""
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class PressDescription:
    """A press as written, before its geometry is looked at: the record, and the place of every field."""

    press: Press
    file: str
    spots: Mapping[Path, yaml_tree.Spot]

    def place(self, path: Path) -> Place:
        """Where ``path``, or the nearest thing round it, stands in the file."""
        return place_in(self.spots, path, self.file)


@dataclass(frozen=True, slots=True)
class LoadedPress:
    """A press that can exist: centres relaxed to true contact, how far each moved, and what a person should know."""

    press: Press
    moves: Any
    notices: tuple[Problem, ...]
    description: PressDescription

    def place(self, path: Path) -> Place:
        """Where ``path``, or the nearest thing round it, stands in the file."""
        return self.description.place(path)


def load(path: FilePath) -> LoadedPress:
    """Read the press file at ``path``; :class:`Refusal` with every problem if it cannot be."""
    return _told(_loaded(read_text(path), str(path)))


@lru_cache(maxsize=MOST_KEPT)
def _loaded(text: str, name: str) -> LoadedPress | tuple[Problem, ...]:
    """The same text is the same press: whoever asks for it reading by reading does not wait for it each time. Nor for
    what is wrong with one that is still being described."""
    try:
        return loads(text, name=name)
    except Refusal as refusal:
        return refusal.problems


def _told(found: LoadedPress | tuple[Problem, ...]) -> LoadedPress:
    if isinstance(found, LoadedPress):
        return found
    raise Refusal(found)


def loads(text: str, *, name: str = "press.yaml") -> LoadedPress:
    """Read a press from the text of a press file. ``name`` is what problems call the file."""
    return check_geometry(describe(text, name=name))


def describe(text: str, *, name: str = "press.yaml") -> PressDescription:
    """Read a press without looking at its geometry."""
    yaml_tree.check_size(len(text.encode("utf-8", "surrogatepass")), name)
    root = yaml_tree.parse(text.removeprefix(_BYTE_ORDER_MARK), name)
    reading = Reading(name)
    _check_first_line(reading, root)
    press = read_record(reading, root, cls=Press, context=Context())
    check_references(reading)
    if reading.problems:
        raise Refusal(sorted(reading.problems, key=_place_of))
    assert press is not None, "a press that was refused without a reason"
    return PressDescription(replace(press, assumptions=tuple(reading.assumptions)), name, reading.spots)


def check_geometry(description: PressDescription) -> LoadedPress:
    """Relax the centres and look for what cannot turn, cannot touch or cannot be."""
    from filmsplit.press.survey import survey  # noqa: PLC0415  (geometry is not needed to edit a file)

    found = survey(description.press)
    problems = tuple(_located(problem, description) for problem in found.problems)
    if any(problem.severity is Severity.REFUSED for problem in problems):
        raise Refusal(sorted(problems, key=_place_of))
    return LoadedPress(found.press, found.moves, problems, description)


def read_text(path: FilePath) -> str:
    """The text of a file, bounded and in UTF-8, its line ends as they are."""
    name = str(path)
    try:
        with path.open("rb") as file:
            data = file.read(yaml_tree.MAX_BYTES + 1)
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": name, "detail": error.strerror or ""})) from error
    yaml_tree.check_size(len(data), name)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Refusal(Problem("press-file-not-utf-8", place=Place(name, line, 1))) from error


def _check_first_line(reading: Reading, root: yaml_tree.Node) -> None:
    """The first key says what kind of file this is and which version of it."""
    entries = list(root.entries.values()) if isinstance(root, yaml_tree.Mapping) else []
    first = entries[0] if entries else None
    if first is None or first.key.text != KIND_LINE or not isinstance(first.value, yaml_tree.Scalar):
        raise Refusal(
            Problem("press-file-first-line", {"line": f"{KIND_LINE}: {KIND_VALUE}"}, place=Place(reading.file, 1, 1))
        )
    if first.value.text == KIND_VALUE:
        return
    newer = re.fullmatch(r"press [0-9]{1,6}", first.value.text) is not None
    values = {"given": shown(first.value.text), "line": f"{KIND_LINE}: {KIND_VALUE}"}
    spot = first.value.spot
    slug = "press-file-other-version" if newer else "press-file-first-line"
    raise Refusal(Problem(slug, values, place=Place(reading.file, spot.line, spot.column)))


def _located(problem: Problem, description: PressDescription) -> Problem:
    return problem if problem.place is not None else problem.at(description.place(problem.path))


def _place_of(problem: Problem) -> tuple[int, int]:
    return (problem.place.line, problem.place.column) if problem.place is not None else (0, 0)


__all__ = ["LoadedPress", "PressDescription", "check_geometry", "describe", "in_words", "load", "loads", "read_text"]
