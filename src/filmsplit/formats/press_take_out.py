"""Read a press file as it is written, take items of its lists out, and find wherever a roller is named.

Every character that does not belong to what is changed stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from filmsplit.formats import yaml_tree
from filmsplit.formats.press_fields import NESTED, Kind, shapes
from filmsplit.formats.press_file import describe
from filmsplit.formats.press_reader import item_id
from filmsplit.formats.press_reading import Path
from filmsplit.formats.yaml_splice import content_end
from filmsplit.formats.yaml_tree import Entry, Node, Scalar
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Press, Unit

_MARK = "\ufeff"
_BETWEEN = "~"
"""No id of a roller: those begin with a letter or digit."""


def written_values(text: str, *, name: str = "press.yaml") -> Mapping[Path, str]:
    """Every value of a press file by its path, as it is written; a list of figures has blanks between them."""
    return dict(_values(yaml_tree.parse(text.removeprefix(_MARK), name), (), Press))


def _values(node: Node, path: Path, cls: type) -> Iterator[tuple[Path, str]]:
    if not isinstance(node, yaml_tree.Mapping):
        return
    for name, entry in node.entries.items():
        shape, value, here = shapes(cls).get(name), entry.value, (*path, name)
        if isinstance(value, Scalar):
            yield here, value.text
        elif shape is not None and shape.kind is Kind.RECORDS and isinstance(value, yaml_tree.Sequence):
            for item in value.items:
                yield from _values(item, (*here, item_id(item, shape.of)), shape.of)
        elif shape is not None and shape.kind in NESTED:
            yield from _values(value, here, shape.of)
        elif isinstance(value, yaml_tree.Sequence):
            yield here, " ".join(each.text for each in value.items if isinstance(each, Scalar))


def take_out_contact(text: str, unit: str, contact: str) -> str:
    """``text`` without a contact. Raises ``Refusal`` where there is none, or something else is lost by it."""
    return _checked(_without(text, ("units", unit, "contacts", contact)))


def take_out_roller(text: str, unit: str, roller: str) -> str:
    """``text`` without a roller and without every contact it has."""
    start = ("units", unit, "contacts")
    named = [path for path in written_values(text) if path[:3] == start and path[4:] == ("a",)]
    for contact in (path[3] for path in named):
        if roller in contact.split("/"):
            text = _without(text, (*start, contact))
    return _checked(_without(text, ("units", unit, "rollers", roller)))


def _checked(text: str) -> str:
    describe(text)
    return text


def _without(text: str, path: Path) -> str:
    """What is left must be every other value, unchanged: a layout that cannot be cut so is refused."""
    mark = text[: len(text) - len(text.removeprefix(_MARK))]
    bare = text.removeprefix(_MARK)
    before = written_values(bare)
    entry, item = _item_at(bare, path)
    after = mark + _cut_out(bare, entry, item)
    kept = {each: value for each, value in before.items() if each[: len(path)] != path}
    if written_values(after) != kept:
        raise Refusal(Problem("press-not-taken-out", {"part": path[-1]}, path))
    return after


def _item_at(text: str, path: Path) -> tuple[Entry, Node]:
    root = yaml_tree.parse(text, "press.yaml")
    for unit in _items(root, "units"):
        if item_id(unit, Unit) == path[1] and isinstance(unit, yaml_tree.Mapping) and path[2] in unit.entries:
            cls = Contact if path[2] == "contacts" else Unit
            found = next((each for each in _items(unit, path[2]) if item_id(each, cls) == path[3]), None)
            if found is not None:
                return unit.entries[path[2]], found
    raise Refusal(Problem("press-edit-no-such-part", {"part": ".".join(path), "hint": ""}, path))


def _items(node: Node, name: str) -> Sequence[Node]:
    entry = node.entries.get(name) if isinstance(node, yaml_tree.Mapping) else None
    return entry.value.items if entry is not None and isinstance(entry.value, yaml_tree.Sequence) else ()


def _cut_out(text: str, entry: Entry, item: Node) -> str:
    items = entry.value
    assert isinstance(items, yaml_tree.Sequence)
    if items.flow:
        return _cut_from_brackets(text, items, item)
    start = text.rfind("\n", 0, item.spot.index) + 1
    while text[start : item.spot.index].lstrip()[:1] != "-":  # the dash may stand on a line of its own
        start = text.rfind("\n", 0, start - 1) + 1
    last = text.find("\n", item.spot.index + len(text[item.spot.index : content_end(item)].rstrip()))
    left = text[:start] + (text[last + 1 :] if last >= 0 else "")
    if len(items.items) > 1:
        return left
    return left[: entry.key.end] + ": []" + left[entry.key.end :].removeprefix(":")


def _cut_from_brackets(text: str, items: yaml_tree.Sequence, item: Node) -> str:
    at = items.items.index(item)
    if at + 1 < len(items.items):
        return text[: item.spot.index] + text[items.items[at + 1].spot.index :]
    start = content_end(items.items[at - 1]) if at else item.spot.index
    return text[:start] + text[content_end(item) :]


def renaming(text: str, unit: str, *, old: str, new: str) -> dict[str, str]:
    """What to set, in this order, to give a roller another id: in every contact, in the fountain, on itself.

    A contact goes by its two ends, so what names a contact comes first, and the roller itself last.
    """
    start = ("units", unit)
    values = written_values(text)
    changes = {}
    for path, value in values.items():
        if path[:2] == start and path[-1] == "also_moves" and old in value.split("/"):
            changes[path] = "/".join(new if end == old else end for end in value.split("/"))
    for path, value in values.items():
        if path[:3] == (*start, "contacts") and path[4:] == ("a",) and old in path[3].split("/"):
            b = values[(*path[:4], "b")]
            changes |= {path: new} if value == old else {}
            here = f"{new if value == old else value}/{b}"
            changes |= {(*path[:3], here, "b"): new} if b == old else {}
    fountain = (*start, "fountain", "roller")
    changes |= {fountain: new} if values.get(fountain) == old else {}
    changes[(*start, "rollers", old, "id")] = new
    return {".".join(path): value for path, value in changes.items()}


def rejoining(text: str, unit: str, *, old: str, new: str) -> dict[str, str]:
    """What to set, in this order, to make a contact one of two other members: wherever it is named, then itself.

    In between it goes by an id nobody else has, so that no other contact is taken for it.
    """
    contacts = ("units", unit, "contacts")
    changes: dict[Path, str] = {}
    for path, value in written_values(text).items():
        if path[:3] == contacts and path[3] != old and path[-1] == "also_moves" and value == old:
            changes[path] = new
    (a, b), b_before = new.split("/"), old.split("/")[1]
    changes[(*contacts, old, "a")] = _BETWEEN
    changes[(*contacts, f"{_BETWEEN}/{b_before}", "b")] = b
    changes[(*contacts, f"{_BETWEEN}/{b}", "a")] = a
    return {".".join(path): value for path, value in changes.items()}
