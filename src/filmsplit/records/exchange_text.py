"""Exported rows as text: one JSON, or one CSV a table. A CSV cell that is empty is an empty text or nothing at all,
by what its column may be.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Mapping, Sequence

import sqlalchemy as sa

from filmsplit.messages import Problem, Refusal
from filmsplit.records.every_table import EVERY_TABLE
from filmsplit.records.exchange import KIND, Row, Rows, check_revision
from filmsplit.records.store import NEWEST

ABOUT = "about"
"""The CSV that says what the others are."""


def rows_to_json(rows: Rows) -> str:
    """All rows as one JSON text."""
    whole = {"filmsplit": KIND, "revision": NEWEST, "tables": rows}
    return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def rows_from_json(text: str, *, name: str) -> Rows:
    """The rows of such a text; what is not one is refused. ``name`` is the file, for messages."""
    try:
        whole = json.loads(text)
    except ValueError as error:
        raise _not_an_export(name) from error
    tables = whole.get("tables") if isinstance(whole, dict) else None
    if not isinstance(tables, dict) or whole.get("filmsplit") != KIND:
        raise _not_an_export(name)
    check_revision(whole.get("revision"))
    rows = [row for table in tables.values() for row in (table if isinstance(table, list) else [None])]
    if not all(isinstance(row, dict) for row in rows):
        raise _not_an_export(name)
    return tables


def rows_to_csv(rows: Rows) -> dict[str, str]:
    """A CSV text for each table, by its name, and one that says what they are."""
    texts = {table.name: _csv_of([column.name for column in table.columns], rows[table.name]) for table in EVERY_TABLE}
    return {ABOUT: _csv_of(["filmsplit", "revision"], [{"filmsplit": KIND, "revision": NEWEST}])} | texts


def rows_from_csv(texts: Mapping[str, str], *, name: str) -> Rows:
    """The rows of such texts. ``name`` is the folder, for messages."""
    about = _cells(texts.get(ABOUT, ""))
    if len(about) != 1 or about[0].get("filmsplit") != KIND:
        raise _not_an_export(name)
    check_revision(about[0].get("revision"))
    known = {table.name: table for table in EVERY_TABLE}
    return {
        table: [_row(known[table], cells) if table in known else dict(cells) for cells in _cells(text)]
        for table, text in texts.items()
        if table != ABOUT
    }


def _csv_of(names: Sequence[str], rows: Sequence[Row]) -> str:
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def _cells(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), restval="", restkey=""))


def _row(table: sa.Table, cells: Mapping[str, str]) -> dict[str, object]:
    """Cells as values of their columns; what cannot be one stays text, and is complained of with its row."""
    columns = {column.name: column for column in table.columns}
    return {name: _value(columns[name], text) if name in columns else text for name, text in cells.items()}


def _value(column: sa.Column[object], text: str) -> object:
    if text == "" and column.nullable:
        return None
    reads: Callable[[str], object] = str
    if isinstance(column.type, sa.Integer):
        reads = int
    elif isinstance(column.type, sa.Float):
        reads = float
    try:
        return reads(text)
    except ValueError:
        return text


def _not_an_export(name: str) -> Refusal:
    return Refusal(Problem("import-not-an-export", {"file": name}))
