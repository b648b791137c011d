"""Change a press file the way its owner would: one value, more rollers, more contacts. Comments and layout stay."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from collections.abc import Mapping as MappingOf
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from filmsplit.formats import yaml_splice as splice
from filmsplit.formats import yaml_tree
from filmsplit.formats.press_fields import NONE, UNKNOWN, Kind, shapes
from filmsplit.formats.press_file import check_geometry, describe, read_text
from filmsplit.formats.press_reader import item_id
from filmsplit.formats.press_reading import Path
from filmsplit.formats.press_table import TableRow, read_table
from filmsplit.formats.press_values import as_written, in_braces, in_lines
from filmsplit.formats.press_ways import full_way, items, shape_at
from filmsplit.formats.replace_file import replace_file
from filmsplit.formats.scalars import hint
from filmsplit.formats.yaml_tree import Mapping, Node, Scalar, Sequence
from filmsplit.messages import Place, Problem, Refusal
from filmsplit.press import Contact, Press, Roller, Unit

_WIDTH = 112
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class EditedPress:
    """A changed press file, as written, and what its geometry still lacks (a train is often built up in steps)."""

    text: str
    problems: tuple[Problem, ...]


def edit_file(path: FilePath, change: Callable[[str], str]) -> EditedPress:
    """Change the file at ``path``, whole or not at all. ``change`` makes the new text from the old one."""
    text = change(read_text(path))
    description = describe(text, name=str(path))
    replace_file(path, text)
    try:
        problems = check_geometry(description).notices
    except Refusal as refusal:
        problems = refusal.problems
    return EditedPress(text, problems)


def set_value(text: str, way: str, value: str) -> str:
    """``text`` with another value at ``way``: ``units.A.rollers.F1.diameter_mm``, or short ``F1.diameter_mm``."""
    return set_values(text, {way: value}, name=way)


def set_values(text: str, changes: MappingOf[str, str], *, name: str = "press.yaml") -> str:
    """``text`` with other values at several ways, which have to agree with each other only when all are written."""
    mark, text = _without_mark(text)
    for way, value in changes.items():
        text = _with_value(text, way, value)
    describe(mark + text, name=name)
    return mark + text


def _with_value(text: str, way: str, value: str) -> str:
    root = yaml_tree.parse(text, way)
    path = full_way(root, way)
    shape = shape_at(path)
    if "\n" in value or "\r" in value:
        raise Refusal(Problem("press-edit-value-has-line-end", path=path))
    if shape.kind is Kind.RECORD and value.strip() not in (UNKNOWN, NONE):
        fields = ", ".join(shapes(shape.of))
        raise Refusal(Problem("press-edit-not-one-value", {"part": ".".join(path), "fields": fields}))
    return _set(text, root, path=path, written=as_written(shape, value))


def _without_mark(text: str) -> tuple[str, str]:
    bare = text.removeprefix(_BYTE_ORDER_MARK)
    return text[: len(text) - len(bare)], bare


def _set(text: str, root: Node, *, path: Path, written: str) -> str:
    """Go down as far as the file goes, then write what is missing."""
    cls: type = Press
    holder: Node = root
    for depth, step in enumerate(path):
        if isinstance(holder, Sequence):
            by_id = {item_id(item, cls): item for item in holder.items}
            if step not in by_id:
                raise _nothing_there(path, step, by_id)
            holder = by_id[step]
            continue
        rest = path[depth + 1 :]
        if not isinstance(holder, Mapping):
            break
        entry = holder.entries.get(step)
        if entry is None:
            line = f"{step}: {_in_braces(rest, written)}"
            return splice.insert_entry(text, holder, line, after=_before(holder, cls, step))
        if not rest or isinstance(entry.value, Scalar):
            return splice.replace_value(text, entry, _in_braces(rest, written))
        holder, cls = entry.value, shapes(cls)[step].of
    raise _nothing_there(path, "", ())


def _nothing_there(path: Path, step: str, known: Iterable[str]) -> Refusal:
    return Refusal(
        Problem("press-edit-no-such-part", {"part": ".".join(path), "hint": hint(step, filter(None, known))})
    )


def _in_braces(rest: Path, written: str) -> str:
    for step in reversed(rest):
        written = f"{{{step}: {written}}}"
    return written


def _before(holder: Mapping, cls: type, step: str) -> str | None:
    """The field of the file behind which a new one stands as in the reference page."""
    order = list(shapes(cls))
    earlier = [name for name in order[: order.index(step)] if name in holder.entries]
    return earlier[-1] if earlier else next(reversed(holder.entries), None)


def add_rollers(text: str, table: str, *, unit: str | None = None, name: str = "rollers.csv") -> str:
    """``text`` with a roller for each line of the CSV text ``table`` (columns: ``id``, ``cover.thickness_mm`` …)."""
    return _add(text, read_table(table, Roller, name=name), cls=Roller, unit=unit, name=name)


def add_contacts(text: str, table: str, *, unit: str | None = None, name: str = "contacts.csv") -> str:
    """``text`` with a contact for each line of the CSV text ``table`` (columns: a, b, kind, ``stripe.target_mm`` …)."""
    return _add(text, read_table(table, Contact, name=name), cls=Contact, unit=unit, name=name)


def _add(text: str, rows: tuple[TableRow, ...], *, cls: type, unit: str | None, name: str) -> str:
    mark, text = _without_mark(text)
    known = [id for id, _ in items(yaml_tree.parse(text, name), "units", Unit)]
    lines: dict[Path, int] = {}
    field = "rollers" if cls is Roller else "contacts"
    for wanted in dict.fromkeys(row.unit or unit or "" for row in rows):
        here = _which_unit(wanted, known)
        of_unit = [row for row in rows if (row.unit or unit or "") == wanted]
        text = _append(text, ("units", here, field), rows=of_unit, cls=cls)
        lines |= {("units", here, field, _id_of(row.values, cls)): row.line for row in of_unit}
    try:
        describe(mark + text, name=name)
    except Refusal as refusal:
        raise Refusal(_in_table(problem, lines, name) for problem in refusal.problems) from refusal
    return mark + text


def _which_unit(wanted: str, known: list[str]) -> str:
    if wanted in known:
        return wanted
    if not wanted and len(known) == 1:
        return known[0]
    raise Refusal(Problem("press-table-which-unit", {"units": ", ".join(known) or "-"}))


def _append(text: str, path: Path, *, rows: list[TableRow], cls: type) -> str:
    written = [_item(row.values, cls) for row in rows]
    unit = dict(items(yaml_tree.parse(text, path[1]), "units", Unit))[path[1]]
    assert isinstance(unit, Mapping)
    indent = next(iter(unit.entries.values())).key.spot.column - 1
    if path[2] not in unit.entries:
        text = splice.insert_entry(text, unit, f"{path[2]}: []", after=None)
        return _append(text, path, rows=rows, cls=cls)
    return splice.append_items(text, unit.entries[path[2]], written, indent=indent + 2)


def _item(values: dict[str, Any], cls: type) -> list[str]:
    flow = in_braces(cls, values)
    return [flow] if cls is Contact and len(flow) <= _WIDTH else in_lines(cls, values) or ["{}"]


def _id_of(values: dict[str, Any], cls: type) -> str:
    names = ("a", "b") if cls is Contact else ("id",)
    return "/".join(str(values.get(name, "")).strip('"') for name in names)


def _in_table(problem: Problem, lines: dict[Path, int], name: str) -> Problem:
    """Point at the line of the table for what came from it."""
    line = lines.get(problem.path[:4])
    return problem if line is None else problem.at(Place(name, line, 1))


__all__ = ["EditedPress", "add_contacts", "add_rollers", "edit_file", "set_value", "set_values"]
