"""The demo workshop: an invented community print workshop whose presses come with the program."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from filmsplit.formats.yaml_tree import Mapping, Node, Scalar, Sequence, parse

_HERE = Path(__file__).parent
_WORKSHOP = _HERE / "workshop.yaml"
_PRESSES = _HERE / "presses"


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room of the workshop and the presses that stand in it, by id."""

    id: str
    name: str
    presses: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """The workshop: its name, what there is to know, its rooms. ``invented`` as the file says."""

    name: str
    note: str
    invented: bool
    rooms: tuple[Room, ...]

    @property
    def presses(self) -> tuple[str, ...]:
        """Every press by id, room by room."""
        return tuple(press for room in self.rooms for press in room.presses)


@cache
def demo_workshop() -> Workshop:
    """The demo workshop as its file describes it."""
    root = parse(_WORKSHOP.read_text(encoding="utf-8"), _WORKSHOP.name)
    return Workshop(
        name=_text(root, "name"),
        note=_text(root, "note"),
        invented=_text(root, "invented") == "yes",
        rooms=tuple(_room(room) for room in _items(root, "rooms")),
    )


def demo_presses() -> tuple[str, ...]:
    """The ids of the demo presses, the simplest first."""
    return demo_workshop().presses


def demo_path(press_id: str) -> Path:
    """The press file of a demo press; ``KeyError`` if the workshop has no such press."""
    if press_id not in demo_presses():
        raise KeyError(press_id)
    return _PRESSES / f"{press_id}.yaml"


def _room(node: Node) -> Room:
    presses = tuple(item.text for item in _items(node, "presses") if isinstance(item, Scalar))
    return Room(id=_text(node, "id"), name=_text(node, "name"), presses=presses)


def _value(node: Node, key: str) -> Node:
    """What stands under ``key``. The file is ours: a slip in it is a bug, and ends as a ``KeyError``."""
    if not isinstance(node, Mapping):
        raise KeyError(key)
    return node.entries[key].value


def _text(node: Node, key: str) -> str:
    value = _value(node, key)
    if not isinstance(value, Scalar):
        raise KeyError(key)
    return value.text


def _items(node: Node, key: str) -> list[Node]:
    value = _value(node, key)
    if not isinstance(value, Sequence):
        raise KeyError(key)
    return value.items
