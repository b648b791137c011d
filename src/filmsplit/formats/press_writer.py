"""Write a press as a press file. What is read back is equal, unknowns and what was assumed for them included."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from filmsplit.formats.press_fields import KIND_LINE, KIND_VALUE, NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_reader import is_used
from filmsplit.formats.press_reading import Path
from filmsplit.press import Cylinders, Fountain, Press, Roller, Unit

_WIDTH = 118
_ALWAYS_BLOCK = (Press, Unit, Cylinders, Fountain, Roller)
_PLAIN_TEXT = re.compile(r"[A-Za-z][A-Za-z0-9_./()+=-]*(?: [A-Za-z0-9_./()+=][A-Za-z0-9_./()+=-]*)*")
_NEEDS_QUOTES = frozenset({UNKNOWN, NONE, "yes", "no", "true", "false", "null", "on", "off", "y", "n", "~"})

Lines = list[str]


def dumps(press: Press, *, schema: str | None = None) -> str:
    """The press file of ``press``. ``schema`` is where editors find the JSON Schema, for completion."""
    writer = _Writer(frozenset(assumption.path for assumption in press.assumptions))
    head = [f"{KIND_LINE}: {KIND_VALUE}"]
    if schema is not None:
        head.append(modeline(schema))
    return "\n".join([*head, *writer.block(press, (), indent=0)]) + "\n"


def modeline(schema: str) -> str:
    """The comment by which editors find the JSON Schema of a file."""
    return f"# yaml-language-server: $schema={schema}"


class _Writer:
    def __init__(self, assumed: frozenset[Path]) -> None:
        self.assumed = assumed

    def block(self, record: Any, path: Path, *, indent: int) -> Lines:
        """The fields of a record, one below the other."""
        lines: Lines = []
        for shape, value in self._fields(record, path):
            lines += self._field(shape, value, path=(*path, shape.name), indent=indent)
        return lines

    def _field(self, shape: FieldShape, value: Any, *, path: Path, indent: int) -> Lines:
        start = f"{' ' * indent}{shape.name}:"
        if shape.kind is Kind.RECORDS:
            return self._list(start, value, path=path, indent=indent)
        flow = self.flow_value(shape, value, path=path)
        as_block = isinstance(value, _ALWAYS_BLOCK) or len(start) + len(flow) >= _WIDTH
        if shape.kind is Kind.RECORD and as_block and flow.startswith("{"):
            return [start, *self.block(value, path, indent=indent + 2)]
        return [f"{start} {flow}"]

    def _list(self, start: str, records: tuple[Any, ...], *, path: Path, indent: int) -> Lines:
        if not records:
            return [f"{start} []"]
        lines = [start]
        dash = " " * (indent + 2) + "- "
        for record in records:
            flow = self._flow(record, (*path, record.id))
            if not isinstance(record, _ALWAYS_BLOCK) and len(dash) + len(flow) < _WIDTH:
                lines.append(dash + flow)
            else:
                first, *rest = self.block(record, (*path, record.id), indent=indent + 4)
                lines += [dash + first.lstrip(), *rest]
        return lines

    def flow_value(self, shape: FieldShape, value: Any, *, path: Path) -> str:
        """A value on one line."""
        if path in self.assumed or value is None:
            return UNKNOWN
        if shape.kind is Kind.RECORD:
            flow = self._flow(value, path)
            return UNKNOWN if not shape.optional and self._all_unknown(value, path) else flow
        return scalar(value)

    def _flow(self, record: Any, path: Path) -> str:
        parts = [
            f"{shape.name}: {self.flow_value(shape, value, path=(*path, shape.name))}"
            for shape, value in self._fields(record, path)
            if shape.kind is not Kind.RECORDS
        ]
        return "{" + ", ".join(parts) + "}"

    def _all_unknown(self, record: Any, path: Path) -> bool:
        return all(
            self.flow_value(shape, value, path=(*path, shape.name)) == UNKNOWN
            for shape, value in self._fields(record, path)
        )

    def _fields(self, record: Any, path: Path) -> Iterator[tuple[FieldShape, Any]]:
        """The fields that must be written for the same record to be read again."""
        table = shapes(record.__class__)
        values = {name: getattr(record, name) for name in table}
        for name, shape in table.items():
            if not self._goes_without(shape, values, path=(*path, name)):
                yield shape, values[name]

    def _goes_without(self, shape: FieldShape, values: dict[str, Any], *, path: Path) -> bool:
        """Whether leaving the field out says the same."""
        value, row = values[shape.name], shape.row
        if path in self.assumed:
            return not row.counts_for and row.assumed is not None and not shape.optional
        if value is None:
            return not (row.counts_for and is_used(shape, values))
        if not is_used(shape, values):
            return bool(value == row.assumed)
        return bool(value == "" and row.assumed == "")


def scalar(value: Any) -> str:
    """A single value, or a list of numbers, as a press file writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, tuple):
        return "[" + ", ".join(scalar(item) for item in value) + "]"
    return text(value if isinstance(value, str) else value.value)


def text(words: str) -> str:
    """A text, in quotes where it could be taken for something else."""
    if _PLAIN_TEXT.fullmatch(words) and words.casefold() not in _NEEDS_QUOTES:
        return words
    return json.dumps(words, ensure_ascii=False)


__all__ = ["dumps", "modeline", "scalar", "text"]
