"""The fields of the press description as a table: what reading, writing, schema and reference page walk over."""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum, auto
from functools import cache
from typing import Any

from filmsplit.press.rows import Row

UNKNOWN = "unknown"
"""The word that may stand for any value that can be assumed."""

NONE = "none"
"""The word that says a part does not exist (no cover, no fountain, no adjuster)."""

KIND_LINE = "filmsplit"
"""The key of the first line of every file: ``filmsplit: press 1``."""

KIND_VALUE = "press 1"


class Kind(Enum):
    """How a field is written."""

    NUMBER = auto()
    WHOLE = auto()
    YES_NO = auto()
    TEXT = auto()
    WORD = auto()
    RECORD = auto()
    RECORDS = auto()
    NUMBERS = auto()


NESTED = frozenset({Kind.RECORD, Kind.RECORDS})


@dataclass(frozen=True, slots=True)
class FieldShape:
    """One field: its row, how it is written, the class or word list behind it, and whether it may be absent."""

    name: str
    row: Row
    kind: Kind
    of: Any
    optional: bool

    @property
    def words(self) -> tuple[str, ...]:
        """The words allowed, for a field with a closed list."""
        return tuple(word.value for word in self.of) if self.kind is Kind.WORD else ()


_PLAIN: Mapping[Any, Kind] = {float: Kind.NUMBER, int: Kind.WHOLE, bool: Kind.YES_NO, str: Kind.TEXT}


@cache
def shapes(cls: type) -> Mapping[str, FieldShape]:
    """The fields of a record class by name, in the order of the class. Fields without a row are left out."""
    hints = typing.get_type_hints(cls)
    return {
        field.name: _shape(field.name, field.metadata["row"], hints[field.name])
        for field in fields(cls)
        if field.metadata.get("row") is not None
    }


def _shape(name: str, row: Row, hint: Any) -> FieldShape:
    members = [hint]
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        members = [member for member in typing.get_args(hint) if member is not type(None)]
    kind, of = _kind(members[0])
    return FieldShape(name, row, kind, of, optional=type(None) in typing.get_args(hint))


def _kind(hint: Any) -> tuple[Kind, Any]:
    if hint in _PLAIN:
        return _PLAIN[hint], hint
    if typing.get_origin(hint) is tuple:
        item = typing.get_args(hint)[0]
        return (Kind.RECORDS, item) if is_dataclass(item) else (Kind.NUMBERS, item)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return Kind.WORD, hint
    if is_dataclass(hint):
        return Kind.RECORD, hint
    raise TypeError(f"no way to write a field of type {hint!r}")
