"""The page of the records: every table and column, written from the tables themselves."""

from __future__ import annotations

from collections.abc import Iterator

import sqlalchemy as sa

from filmsplit.records.every_table import EVERY_TABLE
from filmsplit.records.kinds import GRADES, KINDS, Kind
from filmsplit.records.store import NEWEST

_INTRO = f"""\
# The records

All the shop keeps is in one SQLite file ([Settings](settings.md) says where), revision `{NEWEST}`. Any
program that reads SQLite can look into it; only `filmsplit` should write. Records of an older revision are brought up
to this one when they are opened.

Every row carries the run that wrote it. Numbers are in the units of their names; a value nobody gave is empty, never 0.
Nothing is deleted: what was wrong is replaced or struck out by a later row, and both stay.

This page is written from the tables by `python3 dev.py docs`.
"""


def records_page(_: str) -> str:
    """What can be put on record about rollers, then a heading per table."""
    return "\n".join([_INTRO, _kinds(), *(_table(table) for table in EVERY_TABLE)])


def _kinds() -> str:
    lines = [
        "## What can be put on record about rollers",
        "",
        "| kind | about a | values | from to |",
        "|---|---|---|---|",
    ]
    lines += [
        f"| {name} | {kind.subject.value} | {_values(name, kind)} | {_range(kind)} |" for name, kind in KINDS.items()
    ]
    return "\n".join(lines) + "\n"


def _values(name: str, kind: Kind) -> str:
    if name == "grade":
        return "one of: " + ", ".join(GRADES)
    if not kind.quantity:
        return ""
    counts = " or ".join(str(count) for count in kind.places) or f"1 to {kind.most}"
    return f"{counts}, {kind.unit}"


def _range(kind: Kind) -> str:
    return f"{kind.low:g} to {kind.high:g}" if kind.quantity else ""


def _table(table: sa.Table) -> str:
    lines = [f"## {table.name}", "", f"{table.comment}", "", "| column | kind | what it holds |", "|---|---|---|"]
    return "\n".join([*lines, *(_column(column) for column in table.columns)]) + "\n"


def _column(column: sa.Column[object]) -> str:
    return f"| `{column.name}` | {', '.join(_about(column))} | {column.comment} |"


def _about(column: sa.Column[object]) -> Iterator[str]:
    yield {"VARCHAR": "text", "TEXT": "text", "FLOAT": "number", "INTEGER": "whole number"}[
        str(column.type).partition("(")[0]
    ]
    for key in column.foreign_keys:
        yield f"leads to `{key.column.table.name}`"
    if column.nullable:
        yield "may be empty"
