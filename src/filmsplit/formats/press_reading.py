"""What one reading of a press file gathers: problems with their places, assumptions, and every value by its path."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from filmsplit.formats.scalars import Fault
from filmsplit.formats.yaml_tree import Spot
from filmsplit.messages import Place, Problem, label
from filmsplit.press import Assumption

Path = tuple[str, ...]
MAX_PROBLEMS = 100
_LISTS = {"units": "unit", "rollers": "roller", "contacts": "contact"}


@dataclass(slots=True)
class Reading:
    """One walk through a file. Paths are those of the press; list items go by their id."""

    file: str
    problems: list[Problem] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    spots: dict[Path, Spot] = field(default_factory=dict)
    values: dict[Path, Any] = field(default_factory=dict)
    item_spots: dict[Path, list[tuple[str, Spot]]] = field(default_factory=dict)

    def complain(self, slug: str, path: Path, *, spot: Spot | None = None, **values: object) -> None:
        """Keep a problem with its place and the part of the press it is about."""
        self.fault(Fault(slug, values), path, spot=spot)

    def fault(self, fault: Fault, path: Path, *, spot: Spot | None = None) -> None:
        """Keep what is wrong with the field at ``path``."""
        if len(self.problems) < MAX_PROBLEMS:
            place = place_in(self.spots, path, self.file) if spot is None else Place(self.file, spot.line, spot.column)
            self.problems.append(Problem(fault.slug, {"where": in_words(path), **fault.values}, path, place))

    def items(self, path: Path) -> list[str]:
        """The ids of the items of a list, in file order, twins included."""
        return [item for item, _spot in self.item_spots.get(path, ())]


def place_in(spots: Mapping[Path, Spot], path: Path, file: str) -> Place:
    """The place of ``path``, or of the nearest thing round it that the file has."""
    while path and path not in spots:
        path = path[:-1]
    found = spots.get(path) or Spot(1, 1, 0)
    return Place(file, found.line, found.column)


def in_words(path: Path) -> str:
    """The part of the press a path leads to: ``unit A, roller F1, cover.thickness_mm``."""
    words, rest = [], list(path)
    while len(rest) >= 2 and rest[0] in _LISTS:
        words.append(label(f"press-file.{_LISTS[rest[0]]}", id=rest[1]))
        rest = rest[2:]
    if not words and not rest:
        return label("press-file.press")
    return ", ".join([*words, ".".join(rest)] if rest else words)
