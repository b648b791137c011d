"""Everything on record as plain rows, out and in again: what is imported is what was exported, to the last row.

The rows keep their numbers and their runs, so that a record can still be traced to what wrote it. They go into empty
records only: two shops' rows have the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import sqlalchemy as sa

from filmsplit.messages import Problem, Refusal
from filmsplit.records.every_table import EVERY_TABLE
from filmsplit.records.store import NEWEST

MOST_PROBLEMS = 20
"""Nobody reads more at once."""

Row = Mapping[str, object]
Rows = Mapping[str, Sequence[Row]]

KIND = "records 1"
"""How an export says what it is; the number changes when its form does."""


def all_rows(connection: sa.Connection) -> dict[str, list[dict[str, object]]]:
    """Every row of every table, by the number of the row."""
    return {
        table.name: [dict(row) for row in connection.execute(sa.select(table).order_by(table.c.id)).mappings()]
        for table in EVERY_TABLE
    }


def check_rows(rows: Rows) -> None:
    """Refuse rows that these tables could not hold, with the place of each."""
    problems = tuple(_problems(rows))
    if problems:
        raise Refusal(problems[:MOST_PROBLEMS])


def put_rows(connection: sa.Connection, rows: Rows) -> None:
    """Put checked rows into records that are empty. :class:`Refusal` where they are not, or rows disagree."""
    filled = [table.name for table in EVERY_TABLE if connection.execute(sa.select(table.c.id).limit(1)).first()]
    if filled:
        raise Refusal(Problem("records-not-empty", {"tables": ", ".join(filled)}))
    for table in EVERY_TABLE:
        try:
            if rows[table.name]:
                connection.execute(sa.insert(table), [dict(row) for row in sorted(rows[table.name], key=_number)])
        except sa.exc.IntegrityError as error:
            values = {"table": table.name, "reason": str(error.orig)}
            raise Refusal(Problem("import-rows-disagree", values)) from error


def check_revision(found: object) -> None:
    """Exports are read by a program whose tables are the same."""
    if found != NEWEST:
        raise Refusal(Problem("import-other-revision", {"found": found, "newest": NEWEST}))


def _number(row: Row) -> int:
    """A row that replaces another has the larger number, and has to come after it."""
    return int(str(row["id"]))


def _problems(rows: Rows) -> Iterator[Problem]:
    known = {table.name: table for table in EVERY_TABLE}
    for name in known.keys() ^ rows.keys():
        yield Problem("import-table-unknown", {"table": name, "known": ", ".join(known)})
    for name in known.keys() & rows.keys():
        for number, row in enumerate(rows[name], start=1):
            yield from _row_problems(known[name], row, number=number)


def _row_problems(table: sa.Table, row: Row, *, number: int) -> Iterator[Problem]:
    columns = {column.name: column for column in table.columns}
    for name in columns.keys() ^ row.keys():
        yield Problem("import-column-unknown", {"table": table.name, "row": number, "column": name})
    for name in columns.keys() & row.keys():
        if not _fits(columns[name], row[name]):
            values = {"table": table.name, "row": number, "column": name, "given": str(row[name])[:60]}
            yield Problem("import-value-unfit", values)


def _fits(column: sa.Column[Any], value: object) -> bool:
    """SQLite takes anything anywhere; the tables mean what they say."""
    if value is None:
        return bool(column.nullable)
    if isinstance(column.type, sa.Integer):
        return isinstance(value, int) and not isinstance(value, bool)
    if isinstance(column.type, sa.Float):
        return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
    length = getattr(column.type, "length", None)
    return isinstance(value, str) and (length is None or len(value) <= length)
