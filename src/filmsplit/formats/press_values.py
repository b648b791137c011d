"""Values as a person types them on a command line or in a spreadsheet, written the way a press file writes them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from filmsplit.formats.press_fields import NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_writer import text
from filmsplit.formats.scalars import YES_NO

_BARE = re.compile(r"-?[+.0-9A-Za-zµ][-+.0-9A-Za-zµ]*(?: [0-9A-Za-zµ][-+.0-9A-Za-zµ]*)*")
_LIST = re.compile(r"\[?([-+.0-9eE,;\s]+)\]?")
Nested = Mapping[str, Any]


def as_written(shape: FieldShape, given: str) -> str:
    """``given`` as the value of a field. What is wrong with it stays wrong, for the reading to name."""
    given = given.strip()
    if given == UNKNOWN or (given == NONE and shape.optional and shape.kind is Kind.RECORD):
        return given
    if shape.kind is Kind.YES_NO and given.casefold() in YES_NO:
        return given.casefold()  # spreadsheets write TRUE
    listed = _LIST.fullmatch(given) if shape.kind is Kind.NUMBERS else None
    if listed is not None:
        return "[" + ", ".join(re.split(r"[,;\s]+", listed.group(1).strip())) + "]"
    if shape.kind is Kind.TEXT:
        return text(given)
    return given if _BARE.fullmatch(given) else text(given)


def with_decimal_point(shape: FieldShape, given: str) -> str:
    """A number from a table whose cells are parted by semicolons may have a decimal comma."""
    numeric = shape.kind in (Kind.NUMBER, Kind.WHOLE) and re.fullmatch(r"\s*[-+]?[0-9]*,[0-9]+\s*", given)
    return given.replace(",", ".") if numeric else given


def in_braces(cls: type, values: Nested) -> str:
    """A record on one line. ``values`` are written values, records as mappings of their own."""
    parts = []
    for name, shape in shapes(cls).items():
        if name in values:
            value = values[name]
            parts.append(f"{name}: {value if isinstance(value, str) else in_braces(shape.of, value)}")
    return "{" + ", ".join(parts) + "}"


def in_lines(cls: type, values: Nested) -> list[str]:
    """A record with one line for each field, the records in it in braces."""
    lines = []
    for name, shape in shapes(cls).items():
        if name in values:
            value = values[name]
            lines.append(f"{name}: {value if isinstance(value, str) else in_braces(shape.of, value)}")
    return lines
