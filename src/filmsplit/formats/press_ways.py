"""The way to a field as a person writes it: ``units.A.rollers.F1.diameter_mm``, or short ``F1.diameter_mm``."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.formats.press_fields import NESTED, FieldShape, Kind, shapes
from filmsplit.formats.press_reader import item_id
from filmsplit.formats.press_reading import Path
from filmsplit.formats.scalars import hint
from filmsplit.formats.yaml_tree import Mapping, Node, Sequence
from filmsplit.messages import Problem, Refusal
from filmsplit.press import CYLINDER_IDS, Contact, Press, Roller, Unit


def full_way(root: Node, written: str) -> Path:
    """The full path of what a person wrote; :class:`Refusal` if it leads nowhere or to several places."""
    steps = tuple(step.strip() for step in written.split("."))
    starts = _starts(root)
    found = [start for name, start in starts if name == steps[0]]
    if not found:
        near = hint(steps[0], {name for name, _ in starts})
        raise Refusal(Problem("press-edit-no-such-part", {"part": written, "hint": near}))
    ways = [_with_parts(root, (*start, *steps[1:])) for start in found]
    if len(set(ways)) > 1:
        choices = ", ".join(".".join(way) for way in ways)
        raise Refusal(Problem("press-edit-ambiguous", {"part": written, "choices": choices}))
    return ways[0]


def _starts(root: Node) -> list[tuple[str, Path]]:
    """Every word a way may begin with, and the path it stands for."""
    starts: list[tuple[str, Path]] = [(name, (name,)) for name in shapes(Press)]
    for unit, node in items(root, "units", Unit):
        starts.append((unit, ("units", unit)))
        starts += _starts_of_unit(("units", unit), node)
    return starts


def _starts_of_unit(path: Path, node: Node) -> Iterator[tuple[str, Path]]:
    for cylinder in CYLINDER_IDS:
        yield cylinder, (*path, "cylinders", cylinder)
    for name in ("cylinders", "fountain"):
        yield name, (*path, name)
    for roller, _ in items(node, "rollers", Roller):
        yield roller, (*path, "rollers", roller)
    for contact, _ in items(node, "contacts", Contact):
        yield contact, (*path, "contacts", contact)
        yield "/".join(reversed(contact.split("/"))), (*path, "contacts", contact)


def _with_parts(root: Node, way: Path) -> Path:
    """``units.A.F1.diameter_mm`` leaves out that F1 is among the rollers."""
    if len(way) < 3 or way[0] != "units" or way[2] in shapes(Unit):
        return way
    unit = dict(items(root, "units", Unit)).get(way[1])
    inner = dict(_starts_of_unit((), unit)) if unit is not None else {}
    return (*way[:2], *inner[way[2]], *way[3:]) if way[2] in inner else way


def items(node: Node, name: str, cls: type) -> list[tuple[str, Node]]:
    """The items of the list ``name`` of a record, by id."""
    entry = node.entries.get(name) if isinstance(node, Mapping) else None
    if entry is None or not isinstance(entry.value, Sequence):
        return []
    return [(item_id(item, cls), item) for item in entry.value.items if item_id(item, cls)]


def shape_at(way: Path) -> FieldShape:
    """The field a full path leads to; :class:`Refusal` where there is none, or where it leads to a list or its item."""
    known = shapes(Press)
    shape: FieldShape | None = None
    in_list = False
    for step in way:
        if in_list:
            in_list, shape = False, None
            continue
        if step not in known:
            raise Refusal(Problem("press-edit-no-such-part", {"part": ".".join(way), "hint": hint(step, known)}))
        shape = known[step]
        in_list = shape.kind is Kind.RECORDS
        known = shapes(shape.of) if shape.kind in NESTED else {}
    if shape is None or in_list:
        raise Refusal(Problem("press-edit-not-one-value", {"part": ".".join(way), "fields": ", ".join(known)}))
    return shape
