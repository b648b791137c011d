"""From the tree of a press file to the press: one walk over the rows, every problem kept, every unknown resolved."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from filmsplit.formats import yaml_tree as tree
from filmsplit.formats.press_assume import Context, Unresolved, resolve, waits_for_others
from filmsplit.formats.press_fields import KIND_LINE, NESTED, NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_reading import Path, Reading
from filmsplit.formats.press_rules import faults_of
from filmsplit.formats.scalars import Fault, nearest, read_number, read_scalar, shown
from filmsplit.press import Assumption
from filmsplit.press.contacts import Contact

MAX_ITEMS = 1000

Entries = Mapping[str, tree.Entry]


def read_record(reading: Reading, node: tree.Node | None, cls: type, context: Context) -> Any:
    """A record of class ``cls``; ``None`` where anything in it is wrong. ``node`` is ``None`` for an unknown one."""
    if node is not None and not isinstance(node, tree.Mapping):
        fields = ", ".join(shapes(cls))
        reading.complain("press-file-not-a-record", context.path, spot=node.spot, fields=fields)
        return None
    entries: Entries = node.entries if node is not None else {}
    for name, entry in entries.items():
        reading.spots[context.at(name)] = _spot(entry)
    good = _refuse_unknown_keys(reading, entries, cls, context.path)
    values = _leaves(reading, entries, cls, context)
    good &= _refuse_idle_fields(reading, entries, values, cls, context.path)
    for shape in shapes(cls).values():
        if shape.kind in NESTED:
            _nested(reading, entries, shape, values, context)
    return _build(reading, cls, values, context.path) if good and len(values) == len(shapes(cls)) else None


def _build(reading: Reading, cls: type, values: Mapping[str, Any], path: Path) -> Any:
    """The record, once its fields agree with each other."""
    record = cls(**values)
    faults = tuple(faults_of(record))
    for name, fault in faults:
        reading.fault(fault, (*path, name))
    return record if not faults else None


def _spot(entry: tree.Entry) -> tree.Spot:
    """Where to point for a field: at a plain value, else at its key."""
    return entry.value.spot if isinstance(entry.value, tree.Scalar) else entry.key.spot


def _refuse_unknown_keys(reading: Reading, entries: Entries, cls: type, path: Path) -> bool:
    known = shapes(cls)
    strangers = [entry for name, entry in entries.items() if name not in known and (path or name != KIND_LINE)]
    for entry in strangers:
        key, near = entry.key, nearest(entry.key.text, known)
        slug = "press-file-key-mistyped" if near else "press-file-key-unknown"
        if not near and isinstance(entry.value, tree.Scalar) and entry.value.plain and entry.value.text == "":
            slug = "press-file-key-without-value"
        reading.complain(slug, path, spot=key.spot, key=shown(key.text), nearest=near, known=", ".join(known))
    return not strangers


def _leaves(reading: Reading, entries: Entries, cls: type, context: Context) -> dict[str, Any]:
    """The single values of a record: given ones first, then the assumed, those that rest on others last."""
    values: dict[str, Any] = {}
    open_shapes = []
    for shape in shapes(cls).values():
        if shape.kind in NESTED:
            continue
        if _is_unknown(entries.get(shape.name)):
            open_shapes.append(shape)
        else:
            _given(reading, entries[shape.name].value, shape, values, context)
    wait = {shape.name for shape in open_shapes if waits_for_others(shape.row, _role(values, context))}
    for shape in sorted(open_shapes, key=lambda shape: shape.name in wait):
        _assume(reading, entries, shape, values, context)
    return values


def _is_unknown(entry: tree.Entry | None) -> bool:
    return entry is None or _is_word(entry.value, UNKNOWN)


def _is_word(node: tree.Node, word: str) -> bool:
    return isinstance(node, tree.Scalar) and node.plain and node.text == word


def _role(values: Mapping[str, Any], context: Context) -> str:
    return values["role"].value if "role" in values else context.role


def _given(reading: Reading, node: tree.Node, shape: FieldShape, values: dict[str, Any], context: Context) -> None:
    path = context.at(shape.name)
    value: Any
    if shape.kind is Kind.NUMBERS:
        value = _numbers(reading, node, shape, path)
    elif not isinstance(node, tree.Scalar):
        value = Fault("press-file-not-one-value")
    else:
        value = read_scalar(node, shape)
    if isinstance(value, Fault):
        reading.fault(value, path, spot=node.spot)
    elif value is not None:
        values[shape.name] = reading.values[path] = value


def _numbers(reading: Reading, node: tree.Node, shape: FieldShape, path: Path) -> Any:
    if not isinstance(node, tree.Sequence) or not 1 <= len(node.items) <= MAX_ITEMS:
        return Fault("press-file-not-a-list-of-numbers", {"most": MAX_ITEMS})
    values = []
    for item in node.items:
        value = read_number(item, shape) if isinstance(item, tree.Scalar) else Fault("press-file-not-one-value")
        if isinstance(value, Fault):
            reading.fault(value, path, spot=item.spot)
        else:
            values.append(value)
    return tuple(values) if len(values) == len(node.items) else None


def _assume(reading: Reading, entries: Entries, shape: FieldShape, values: dict[str, Any], context: Context) -> None:
    """Put in the value that stands for an unknown one; say so where the field has a meaning."""
    if shape.row.required:
        slug = "press-file-cannot-be-unknown" if shape.name in entries else "press-file-missing"
        reading.complain(slug, context.at(shape.name), field=shape.name, help=shape.row.help)
        return
    context_here = Context(context.path, _role(values, context), context.around, context.press)
    try:
        value = resolve(shape.row, values, context_here)
    except Unresolved:
        return
    values[shape.name] = value
    if value not in (None, "") and is_used(shape, values):
        _note(reading, context.at(shape.name), shape, value)


def is_used(shape: FieldShape, values: Mapping[str, Any]) -> bool:
    """Whether a field has a meaning in a record that has ``values``."""
    only = shape.row.only
    return only is None or only.field not in values or values[only.field] in only.values


def _note(reading: Reading, path: Path, shape: FieldShape, value: Any) -> None:
    row = shape.row
    reading.assumptions.append(Assumption(path, value, row.unit, row.source, row.spread, row.counts_for))


def _refuse_idle_fields(reading: Reading, entries: Entries, values: Mapping[str, Any], cls: type, path: Path) -> bool:
    """Refuse a value for a field that has no meaning beside its neighbours: one of the two must be wrong."""
    idle = [
        shape
        for name, shape in shapes(cls).items()
        if name in entries and not _is_unknown(entries[name]) and not is_used(shape, values)
    ]
    for shape in idle:
        only = shape.row.only
        assert only is not None
        needs = ", ".join(word.value for word in only.values)
        values_here = {"field": shape.name, "decides": only.field, "is": values[only.field].value, "needs": needs}
        reading.complain("press-file-field-idle", (*path, shape.name), **values_here)
    return not idle


def _nested(reading: Reading, entries: Entries, shape: FieldShape, values: dict[str, Any], context: Context) -> None:
    """The records and lists of a record."""
    entry, inner = entries.get(shape.name), context.inside(shape.name, values)
    value: Any
    if shape.kind is Kind.RECORDS:
        value = _records(reading, entry, shape, inner)
    elif shape.optional and (entry is None or _is_word(entry.value, NONE)):
        values[shape.name] = None
        return
    elif entry is None or _is_unknown(entry):
        _assume_record(reading, entries, shape, values, inner)
        return
    else:
        value = read_record(reading, entry.value, shape.of, inner)
    if value is not None:
        values[shape.name] = value


def _assume_record(
    reading: Reading, entries: Entries, shape: FieldShape, values: dict[str, Any], inner: Context
) -> None:
    """An unknown record: built with everything in it unknown, or what its row assumes for it as a whole."""
    if shape.row.required:
        slug = "press-file-cannot-be-unknown" if shape.name in entries else "press-file-missing"
        reading.complain(slug, inner.path, field=shape.name, help=shape.row.help)
        return
    try:
        value = resolve(shape.row, values, inner)
    except Unresolved:
        return
    if value == {}:
        value = read_record(reading, None, shape.of, inner)
    elif shape.row.assumed is not None:
        _note(reading, inner.path, shape, value)
    if value is not None or shape.optional:
        values[shape.name] = value


def _records(reading: Reading, entry: tree.Entry | None, shape: FieldShape, inner: Context) -> Any:
    if entry is None or _is_unknown(entry):
        slug = "press-file-missing" if entry is None else "press-file-cannot-be-unknown"
        reading.complain(slug, inner.path, field=shape.name, help=shape.row.help)
        return None
    if not isinstance(entry.value, tree.Sequence):
        reading.complain("press-file-not-a-list", inner.path, spot=entry.value.spot)
        return None
    if len(entry.value.items) > MAX_ITEMS:
        reading.complain("press-file-list-too-long", inner.path, most=MAX_ITEMS)
        return None
    records = []
    for number, item in enumerate(entry.value.items, start=1):
        path = (*inner.path, item_id(item, shape.of) or f"#{number}")
        reading.item_spots.setdefault(inner.path, []).append((path[-1], item.spot))
        reading.spots.setdefault(path, item.spot)
        records.append(read_record(reading, item, shape.of, Context(path, "", inner.around, inner.press)))
    return None if None in records else tuple(records)


def item_id(item: tree.Node, cls: type) -> str:
    """What a list item goes by in a path; an empty text where it does not say."""
    if not isinstance(item, tree.Mapping):
        return ""
    names = ("a", "b") if cls is Contact else ("id",)
    entries = [item.entries.get(name) for name in names]
    texts = [entry.value.text for entry in entries if entry is not None and isinstance(entry.value, tree.Scalar)]
    return "/".join(texts) if len(texts) == len(names) and all(texts) else ""
