"""Tables from a spreadsheet (CSV): one part of the press for each line, one field for each column."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import Any

from filmsplit.formats.press_fields import NESTED, FieldShape, Kind, shapes
from filmsplit.formats.press_values import as_written, with_decimal_point
from filmsplit.formats.scalars import hint, shown
from filmsplit.formats.yaml_tree import check_size
from filmsplit.messages import Place, Problem, Refusal

_SHORT = {"x_mm": "centre.x_mm", "y_mm": "centre.y_mm"}
UNIT_COLUMN = "unit"


@dataclass(frozen=True, slots=True)
class TableRow:
    """One line of a table: its number, the unit it names (if any), and its fields as a press file writes them."""

    line: int
    unit: str
    values: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Column:
    name: str
    steps: tuple[str, ...]
    shape: FieldShape | None


def read_table(table: str, cls: type, *, name: str) -> tuple[TableRow, ...]:
    """The lines of a CSV text whose columns are fields of ``cls``. Cells may be parted by comma, semicolon or tab."""
    check_size(len(table.encode("utf-8", "surrogatepass")), name)
    lines = _cells(table.removeprefix("\ufeff"), name)
    if len(lines) < 2:
        raise Refusal(Problem("press-table-empty", {"table": name}, place=Place(name, 1, 1)))
    delimiter = _delimiter(table)
    columns = _columns([cell.strip() for cell in lines[0][1]], cls, name)
    too_long = [(number, cells) for number, cells in lines[1:] if len(cells) > len(columns)]
    if too_long:
        values = {"table": name, "columns": len(columns)}
        raise Refusal(
            Problem("press-table-row-too-long", values | {"cells": len(cells)}, place=Place(name, number, 1))
            for number, cells in too_long
        )
    return tuple(_row(number, columns, cells, comma=delimiter != ",") for number, cells in lines[1:])


def _delimiter(table: str) -> str:
    head = table.partition("\n")[0]
    return next((sign for sign in (";", "\t") if sign in head), ",")


def _cells(table: str, name: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(table, newline=""), delimiter=_delimiter(table), strict=True)
    lines = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                lines.append((reader.line_num, cells))
    except csv.Error as error:
        place = Place(name, max(1, reader.line_num), 1)
        raise Refusal(
            Problem("press-table-not-readable", {"table": name, "detail": str(error)}, place=place)
        ) from error
    return lines


def _columns(names: list[str], cls: type, table: str) -> list[_Column]:
    while names and not names[-1]:
        names.pop()  # spreadsheets leave empty columns at the end
    problems = []
    columns = []
    known = column_names(cls)
    for number, written in enumerate(names):
        place = Place(table, 1, number + 1)
        steps = tuple(_SHORT.get(written, written).split("."))
        shape = known.get(".".join(steps))
        if shape is None and written != UNIT_COLUMN:
            values = {"table": table, "column": shown(written), "hint": hint(written, known), "known": ", ".join(known)}
            problems.append(Problem("press-table-column-unknown", values, place=place))
        elif written in names[:number]:
            problems.append(Problem("press-table-column-twice", {"table": table, "column": written}, place=place))
        columns.append(_Column(written, steps, shape))
    if problems:
        raise Refusal(problems)
    return columns


def column_names(cls: type, prefix: str = "") -> dict[str, FieldShape]:
    """Every field a column may be named after, the fields of inner records with a point."""
    names: dict[str, FieldShape] = {}
    for name, shape in shapes(cls).items():
        if shape.kind is Kind.RECORD:
            names[prefix + name] = shape
            names |= column_names(shape.of, f"{prefix}{name}.")
        elif shape.kind not in NESTED:
            names[prefix + name] = shape
    return names


def _row(number: int, columns: list[_Column], cells: list[str], *, comma: bool) -> TableRow:
    values: dict[str, Any] = {}
    unit = ""
    for column, cell in zip(columns, cells, strict=False):
        given = cell.strip()
        if not given:
            continue
        if column.shape is None:
            unit = given
            continue
        given = with_decimal_point(column.shape, given) if comma else given
        _put(values, column.steps, as_written(column.shape, given))
    return TableRow(number, unit, values)


def _put(values: dict[str, Any], steps: tuple[str, ...], written: str) -> None:
    for step in steps[:-1]:
        inner = values.get(step)
        values[step] = inner if isinstance(inner, dict) else {}
        values = values[step]
    values.setdefault(steps[-1], written)
