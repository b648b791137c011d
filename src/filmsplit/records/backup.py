"""Copies of the whole records: made while others write, proved sound, and put back without losing what was there."""

from __future__ import annotations

import contextlib
import os
import re
import sqlite3
import tempfile
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path

from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.records.store import NEWEST

_BESIDE = ("", "-wal", "-shm")
"""A database, its write-ahead log and the index of that, by how their names end."""

Counts = Mapping[str, int]


def back_up(records: Path, to: Path) -> Counts:
    """Copy the records as they are at one moment into a new file; the rows of each table. Writers go on meanwhile.

    The file is read back and proved sound before this returns; one that is there already is left alone.
    """
    if to.exists():
        raise Refusal(Problem("file-in-the-way", {"file": str(to)}))
    with tempfile.TemporaryDirectory() as folder, _database(records) as source:
        copy = Path(folder) / "copy"
        source.execute("BEGIN")  # what is counted is what is copied
        counts = _counts(source)
        with contextlib.closing(sqlite3.connect(copy)) as target:
            source.backup(target)
            target.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        write_file(to, copy.read_bytes(), over=False)
    if sound_counts(to) != counts:
        raise Refusal(Problem("backup-not-sound", {"file": str(to), "reason": "rows are missing"}))
    return counts


def restore(backup: Path, records: Path, *, over: bool) -> Path | None:
    """Put a backup in the place of the records. What was there is kept beside them; where, is returned.

    ``over`` must be told where records are there already.
    """
    sound_counts(backup)
    if records.exists() and not over:
        raise Refusal(Problem("records-in-the-way", {"file": str(records)}))
    with tempfile.TemporaryDirectory() as folder, _database(backup) as source:
        copy = Path(folder) / "copy"
        with contextlib.closing(sqlite3.connect(copy)) as target:
            source.backup(target)
            target.execute("PRAGMA journal_mode = DELETE")
        kept = _put_aside(records) if records.exists() else None
        write_file(records, copy.read_bytes(), over=False)
    return kept


def sound_counts(path: Path) -> Counts:
    """The rows of each table of records that are sound; :class:`Refusal` where they are not."""
    with _database(path) as connection:
        wrong = [str(row[0]) for row in connection.execute("PRAGMA integrity_check") if row[0] != "ok"]
        wrong += [f"{row[0]}: row {row[1]}" for row in connection.execute("PRAGMA foreign_key_check")]
        if wrong:
            raise Refusal(Problem("backup-not-sound", {"file": str(path), "reason": "; ".join(wrong[:3])}))
        found = str(connection.execute("SELECT version_num FROM alembic_version").fetchone()[0])
        if not re.fullmatch(r"r\d{4}", found) or found > NEWEST:
            raise Refusal(Problem("records-newer", {"found": found, "newest": NEWEST}))
        return _counts(connection)


@contextlib.contextmanager
def _database(path: Path) -> Iterator[sqlite3.Connection]:
    """A database that is there already, to be read; what SQLite cannot read is refused."""
    try:
        with contextlib.closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            yield connection
    except (sqlite3.DatabaseError, TypeError) as error:
        raise Refusal(Problem("backup-not-sound", {"file": str(path), "reason": str(error)})) from error


def _counts(connection: sqlite3.Connection) -> Counts:
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'alembic_version' ORDER BY name"
    names = [row[0] for row in connection.execute(query)]
    return {name: connection.execute(f'SELECT COUNT(*) FROM "{name}"').fetchone()[0] for name in names}


def _put_aside(records: Path) -> Path:
    """Rename records, sound or not, with what belongs to them; their new name."""
    with contextlib.suppress(sqlite3.DatabaseError), contextlib.closing(sqlite3.connect(records)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # so that all of it stands in one file, if that can be
    stamp = datetime.now().astimezone().strftime("%Y%m%d-%H%M%S-%f")
    kept = records.with_name(f"{records.name}.before-{stamp}")
    for end in _BESIDE:
        with contextlib.suppress(FileNotFoundError):
            os.rename(f"{records}{end}", f"{kept}{end}")
    return kept
