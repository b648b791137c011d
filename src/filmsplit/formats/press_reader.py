"""From the tree of a press file to the press: one walk over the rows, every problem kept, every unknown resolved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from filmsplit.formats import yaml_tree as tree
from filmsplit.formats.press_assume import Context, Unresolved, resolve, waits_for_others
from filmsplit.formats.press_fields import KIND_LINE, NESTED, NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_reading import Reading
from filmsplit.formats.press_rules import faults_of
from filmsplit.formats.scalars import Fault, nearest, read_number, read_scalar, shown
from filmsplit.press import Assumption
from filmsplit.press.contacts import Contact
from filmsplit.press.press import MOST_CONTACTS, MOST_ROLLERS, MOST_UNITS

MAX_ITEMS = 1000
MOST_RECORDS = {"units": MOST_UNITS, "rollers": MOST_ROLLERS, "contacts": MOST_CONTACTS}
"""How many records the lists of a press may have."""

Entries = Mapping[str, tree.Entry]


def read_record(reading: Reading, node: tree.Node | None, *, cls: type, context: Context) -> Any:
    """A record of class ``cls``; ``None`` where anything in it is wrong. ``node`` is ``None`` for an unknown one."""
    if isinstance(node, tree.Mapping):
        return _Record(reading, node.entries, cls, context).read()
    if node is None:
        return _Record(reading, {}, cls, context).read()
    if isinstance(node, tree.Scalar) and node.plain and node.text == "":
        reading.complain("press-file-value-empty", context.path)
    else:
        reading.complain("press-file-not-a-record", context.path, spot=node.spot, fields=", ".join(shapes(cls)))
    return None


@dataclass(slots=True)
class _Record:
    """One record while it is read: what the file gives, and the values so far."""

    reading: Reading
    entries: Entries
    cls: type
    context: Context
    values: dict[str, Any] = field(default_factory=dict)

    def read(self) -> Any:
        """The record, once its fields are good and agree with each other."""
        for name, entry in self.entries.items():
            self.reading.spots[self.context.at(name)] = _spot(entry)
        good = self._knows_all_keys()
        self._leaves()
        good &= self._has_no_idle_fields()
        for shape in shapes(self.cls).values():
            if shape.kind in NESTED:
                self._nested(shape)
        if not good or len(self.values) < len(shapes(self.cls)):
            return None
        record = self.cls(**self.values)
        faults = tuple(faults_of(record))
        for name, fault in faults:
            self.reading.fault(fault, self.context.at(name))
        return None if faults else record

    def _knows_all_keys(self) -> bool:
        known, path = shapes(self.cls), self.context.path
        strangers = [entry for name, entry in self.entries.items() if name not in known and (path or name != KIND_LINE)]
        for entry in strangers:
            key, near = entry.key, nearest(entry.key.text, known)
            slug = "press-file-key-mistyped" if near else "press-file-key-unknown"
            slug = "press-file-key-without-value" if not near and _is_word(entry.value, "") else slug
            fill = {"key": shown(key.text), "nearest": near, "known": ", ".join(known)}
            self.reading.fault(Fault(slug, fill), path, spot=key.spot)
        return not strangers

    def _leaves(self) -> None:
        """The single values: given ones first, then the assumed, those that rest on others last."""
        open_shapes = []
        for shape in shapes(self.cls).values():
            if shape.kind in NESTED:
                continue
            if _is_unknown(self.entries.get(shape.name)):
                open_shapes.append(shape)
            else:
                self._given(shape)
        self.context = self.context.by_role_of(self.values)
        wait = {shape.name for shape in open_shapes if waits_for_others(shape.row, self.context.role)}
        for shape in sorted(open_shapes, key=lambda shape: shape.name in wait):
            self._assume(shape)

    def _given(self, shape: FieldShape) -> None:
        path, node = self.context.at(shape.name), self.entries[shape.name].value
        value: Any
        if shape.kind is Kind.NUMBERS:
            value = self._numbers(shape, node)
        elif not isinstance(node, tree.Scalar):
            value = Fault("press-file-not-one-value")
        else:
            value = read_scalar(node, shape)
        if isinstance(value, Fault):
            self.reading.fault(value, path, spot=node.spot)
        elif value is not None:
            self.values[shape.name] = self.reading.values[path] = value

    def _numbers(self, shape: FieldShape, node: tree.Node) -> Any:
        if not isinstance(node, tree.Sequence) or not 1 <= len(node.items) <= MAX_ITEMS:
            return Fault("press-file-not-a-list-of-numbers", {"most": MAX_ITEMS})
        values = []
        for item in node.items:
            value = read_number(item, shape) if isinstance(item, tree.Scalar) else Fault("press-file-not-one-value")
            if isinstance(value, Fault):
                self.reading.fault(value, self.context.at(shape.name), spot=item.spot)
            else:
                values.append(value)
        return tuple(values) if len(values) == len(node.items) else None

    def _assume(self, shape: FieldShape) -> None:
        """Put in the value that stands for an unknown one; say so where the field has a meaning."""
        if shape.row.required:
            self._miss(shape)
            return
        try:
            value = resolve(shape.row, self.values, self.context)
        except Unresolved:
            return
        self.values[shape.name] = value
        if value not in (None, "") and is_used(shape, self.values):
            self._note(shape, value)

    def _miss(self, shape: FieldShape) -> None:
        slug = "press-file-cannot-be-unknown" if shape.name in self.entries else "press-file-missing"
        self.reading.complain(slug, self.context.at(shape.name), field=shape.name, help=shape.row.help)

    def _note(self, shape: FieldShape, value: Any) -> None:
        row, path = shape.row, self.context.at(shape.name)
        self.reading.assumptions.append(Assumption(path, value, row.unit, row.source, row.spread, row.counts_for))

    def _has_no_idle_fields(self) -> bool:
        """Refuse a value for a field that has no meaning beside its neighbours: one of the two must be wrong."""
        given = [shape for name, shape in shapes(self.cls).items() if not _is_unknown(self.entries.get(name))]
        idle = [(shape, shape.row.only) for shape in given if not is_used(shape, self.values)]
        for shape, only in idle:
            if only is not None:
                needs = ", ".join(word.value for word in only.values)
                fill = {"field": shape.name, "decides": only.field, "is": self.values[only.field].value, "needs": needs}
                self.reading.fault(Fault("press-file-field-idle", fill), self.context.at(shape.name))
        return not idle

    def _nested(self, shape: FieldShape) -> None:
        """A record or a list of records inside this one."""
        entry = self.entries.get(shape.name)
        if shape.optional and (entry is None or _is_word(entry.value, NONE)):
            self.values[shape.name] = None
        elif entry is None or _is_unknown(entry):
            self._assume_nested(shape)
        else:
            inner = self.context.inside(shape.name, self.values)
            if shape.kind is Kind.RECORDS:
                value = _read_list(self.reading, entry.value, cls=shape.of, inner=inner)
            else:
                value = read_record(self.reading, entry.value, cls=shape.of, context=inner)
            if value is not None:
                self.values[shape.name] = value

    def _assume_nested(self, shape: FieldShape) -> None:
        """An unknown record: built with everything in it unknown, or what its row assumes for it as a whole."""
        if shape.kind is Kind.RECORDS:
            self._miss(shape)
            return
        try:
            value = resolve(shape.row, self.values, self.context)
        except Unresolved:
            return
        if value == {}:
            inner = self.context.inside(shape.name, self.values)
            value = read_record(self.reading, None, cls=shape.of, context=inner)
        elif shape.row.assumed is not None:
            self._note(shape, value)
        if value is not None or shape.optional:
            self.values[shape.name] = value


def _read_list(reading: Reading, node: tree.Node, *, cls: type, inner: Context) -> Any:
    """The records of a list, or ``None`` where one of them is wrong."""
    if not isinstance(node, tree.Sequence):
        reading.complain("press-file-not-a-list", inner.path, spot=node.spot)
        return None
    most = MOST_RECORDS.get(inner.path[-1], MAX_ITEMS)
    if len(node.items) > most:
        reading.complain("press-file-list-too-long", inner.path, count=len(node.items), most=most)
        return None
    records = []
    for number, item in enumerate(node.items, start=1):
        path = (*inner.path, item_id(item, cls) or f"#{number}")
        reading.item_spots.setdefault(inner.path, []).append((path[-1], item.spot))
        reading.spots.setdefault(path, item.spot)
        context = Context(path, "", inner.around, inner.press)
        records.append(read_record(reading, item, cls=cls, context=context))
    return None if None in records else tuple(records)


def is_used(shape: FieldShape, values: Mapping[str, Any]) -> bool:
    """Whether a field has a meaning in a record that has ``values``."""
    only = shape.row.only
    return only is None or only.field not in values or values[only.field] in only.values


def _spot(entry: tree.Entry) -> tree.Spot:
    """Where to point for a field: at a plain value, else at its key."""
    return entry.value.spot if isinstance(entry.value, tree.Scalar) else entry.key.spot


def _is_unknown(entry: tree.Entry | None) -> bool:
    return entry is None or _is_word(entry.value, UNKNOWN)


def _is_word(node: tree.Node, word: str) -> bool:
    return isinstance(node, tree.Scalar) and node.plain and node.text == word


def item_id(item: tree.Node, cls: type) -> str:
    """What a list item goes by in a path; an empty text where it does not say."""
    if not isinstance(item, tree.Mapping):
        return ""
    names = ("a", "b") if cls is Contact else ("id",)
    entries = [item.entries.get(name) for name in names]
    texts = [entry.value.text for entry in entries if entry is not None and isinstance(entry.value, tree.Scalar)]
    return "/".join(texts) if len(texts) == len(names) and all(texts) else ""
