"""The records as a whole: exported, imported, backed up, restored."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from filmsplit.actions.register import Daybook, looking, opened
from filmsplit.messages import Problem, Refusal
from filmsplit.records.backup import back_up, restore
from filmsplit.records.entries import all_ever
from filmsplit.records.exchange import all_rows, check_rows, put_rows
from filmsplit.records.exchange_files import read_export, write_export
from filmsplit.records.instruments import all_instruments
from filmsplit.records.jobs import find_jobs
from filmsplit.records.positions import positions_on
from filmsplit.records.rollers import all_rollers
from filmsplit.records.solutions import all_samples


def export(to: Path, *, book: Daybook, over: bool = False) -> int:
    """Write everything on record: a JSON file by its ending, otherwise a folder with a CSV for each table.

    Returns how many rows that are.
    """
    with looking(book) as connection:
        rows = all_rows(connection)
    write_export(rows, to, over=over)
    return sum(map(len, rows.values()))


def import_export(source: Path, *, book: Daybook) -> int:
    """Read an export into records that are empty or not there yet, all of it or nothing; the number of rows."""
    rows = read_export(source)
    check_rows(rows)
    with opened(book) as store, store.transaction() as connection:
        put_rows(connection, rows)
        try:
            _understand(connection, book)
        except (ValueError, KeyError, TypeError) as error:
            raise Refusal(Problem("import-rows-disagree", {"table": str(source), "reason": str(error)})) from error
    return sum(map(len, rows.values()))


def make_backup(to: Path, *, book: Daybook) -> int:
    """Copy the records into a new file, proved sound; the number of rows."""
    if not book.records.exists():
        raise Refusal(Problem("records-not-there", {"file": str(book.records)}))
    return sum(back_up(book.records, to).values())


def restore_backup(backup: Path, *, book: Daybook, over: bool = False) -> Path | None:
    """Put a backup in the place of the records; where what was there is kept, if anything was."""
    if not backup.exists():
        raise Refusal(Problem("records-not-there", {"file": str(backup)}))
    kept = restore(backup, book.records, over=over)
    with opened(book):  # brings a backup of an older revision up to this one
        return kept


def _understand(connection: sa.Connection, book: Daybook) -> None:
    """Read everything as it will be read later: the tables take more than makes sense."""
    all_rollers(connection)
    all_instruments(connection)
    all_ever(connection)
    positions_on(connection, book.day)
    find_jobs(connection, most=1_000_000)
    all_samples(connection)
