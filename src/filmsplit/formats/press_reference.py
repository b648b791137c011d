"""The reference page of the press file, written from the rows: every field, its unit, range and what is assumed."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import Any

from filmsplit.formats.press_fields import NESTED, FieldShape, Kind, shapes
from filmsplit.formats.press_writer import scalar
from filmsplit.messages import label
from filmsplit.press import Press
from filmsplit.press.rows import ByRole, Derived, SameAs


def reference_page(_: str = "") -> str:
    """The whole page in Markdown."""
    head = label("press-file.reference-head")
    return head + "".join(_section(cls, where) for cls, where in _records(Press, ""))


def _records(cls: type, where: str) -> Iterator[tuple[type, str]]:
    """Every record class once, in the order a file meets them, with where it stands."""
    found: dict[type, list[str]] = {}
    _visit(cls, where, found)
    for record, places in found.items():
        yield record, ", ".join(f"`{place}`" for place in places if place)


def _visit(cls: type, where: str, found: dict[type, list[str]]) -> None:
    found.setdefault(cls, []).append(where)
    for shape in shapes(cls).values():
        if shape.kind in NESTED:
            _visit(shape.of, f"{where}.{shape.name}".lstrip("."), found)


def _section(cls: type, where: str) -> str:
    rows = "".join(_row(shape) for shape in shapes(cls).values())
    place = label("press-file.reference-place", where=where) if where else ""
    head = label("press-file.reference-columns")
    rule = "|".join("---" for _ in range(head.count("|") - 1))
    return f"\n## {cls.__name__}\n\n{(cls.__doc__ or '').strip()} {place}\n\n{head}\n|{rule}|\n{rows}"


def _row(shape: FieldShape) -> str:
    row = shape.row
    cells = (f"`{shape.name}`", row.help, _allowed(shape), _assumed(shape), ", ".join(row.counts_for))
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def _allowed(shape: FieldShape) -> str:
    row = shape.row
    if shape.words:
        return " · ".join(f"`{word}`" for word in shape.words)
    if shape.kind in NESTED:
        link = f"[{shape.of.__name__}](#{shape.of.__name__.lower()})"
        return label("press-file.allowed-list", of=link) if shape.kind is Kind.RECORDS else link
    span = f"{row.low:g} – {row.high:g} {row.unit}".strip() if row.low is not None and row.high is not None else ""
    only = row.only
    beside = ""
    if only is not None:
        words = ", ".join(f"`{word.value}`" for word in only.values)
        beside = label("press-file.allowed-only", field=only.field, words=words)
    return " ".join(part for part in (label(f"press-file.kind-{shape.kind.name.lower()}"), span, beside) if part)


def _assumed(shape: FieldShape) -> str:
    row = shape.row
    if row.required:
        return label("press-file.assumed-never")
    if row.assumed == {}:
        return label("press-file.assumed-inside")
    value = _rule(row.assumed)
    if not value:
        return "–"
    spread = f" ± {row.spread:g}" if row.spread is not None else ""
    return f"{value}{spread} ({row.source})"


def _rule(rule: Any) -> str:
    """What is assumed, in a few words; an empty text where nothing is."""
    if isinstance(rule, ByRole):
        parts = [f"{role}: {_rule(value) or '–'}" for role, value in rule.values.items()]
        return "; ".join([*parts, label("press-file.assumed-otherwise", value=_rule(rule.otherwise) or "–")])
    if isinstance(rule, SameAs):
        return f"`{rule.field.lstrip('/')}`"
    if isinstance(rule, Derived):
        return label("press-file.assumed-derived")
    return _constant(rule)


def _constant(value: Any) -> str:
    if value is None or value == "":
        return ""
    if value == {}:
        return label("press-file.assumed-inside")
    if isinstance(value, (bool, int, float, str, tuple, Enum)):
        return scalar(value)
    return ", ".join(f"{name} {scalar(getattr(value, name))}" for name in shapes(value.__class__))
