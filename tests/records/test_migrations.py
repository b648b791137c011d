"""Records made by every older version open in this one, with all that was in them.

``old/`` holds, for each older revision, the records as a program of that revision wrote them (dumped by SQLite).
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory

from filmsplit import records
from filmsplit.records.every_table import EVERY_TABLE, metadata
from filmsplit.records.jobs import find_jobs
from filmsplit.records.store import NEWEST, Store

OLD = sorted((Path(__file__).parent / "old").glob("*.sql"))
SCRIPTS = ScriptDirectory(str(Path(next(iter(records.__path__))) / "migrations"))

Rows = dict[str, list[dict[str, object]]]


def rows_of(path: Path) -> Rows:
    """Every row of every table, as SQLite itself reads it."""
    connection = sqlite3.connect(path)
    connection.row_factory = sqlite3.Row
    tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    found = {table: [dict(row) for row in connection.execute(f"SELECT * FROM {table}")] for table in tables}
    connection.close()
    return found


def test_migrations_lead_to_the_tables_of_now(tmp_path: Path) -> None:
    store = Store.at(tmp_path / "shop.records")
    with store.read() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, metadata) == []


def test_every_older_revision_has_records_here() -> None:
    revisions = {script.revision for script in SCRIPTS.walk_revisions()}
    assert {path.stem for path in OLD} == revisions - {NEWEST}


@pytest.mark.parametrize("old", OLD, ids=lambda path: path.stem)
def test_old_records_open_with_everything_that_was_in_them(old: Path, tmp_path: Path) -> None:
    path = tmp_path / "shop.records"
    connection = sqlite3.connect(path)
    connection.executescript(old.read_text(encoding="utf-8"))
    connection.close()
    before = rows_of(path)
    assert before["alembic_version"] == [{"version_num": old.stem}]
    assert sum(map(len, before.values())) > 10, "nearly empty: nothing was tested"

    store = Store.at(path)
    with store.read() as reading:
        assert compare_metadata(MigrationContext.configure(reading, opts={"compare_type": True}), metadata) == []
        assert len(find_jobs(reading)) == len(before["jobs"]) - len(before.get("struck_jobs", ()))
    store.close()
    after = rows_of(path)
    for table in before.keys() - {"alembic_version"}:
        assert [_only(new, old_row) for new, old_row in zip(after[table], before[table], strict=True)] == before[table]


def _only(new: dict[str, object], old: dict[str, object]) -> dict[str, object]:
    """The columns of the old row, out of the new one."""
    return {name: new[name] for name in old}


def test_every_column_is_explained_and_every_row_has_its_run() -> None:
    for table in EVERY_TABLE:
        assert table.comment, table.name
        assert not [column.name for column in table.columns if not column.comment], table.name
        if table.name != "runs":
            assert not table.c.run_id.nullable, table.name


@pytest.mark.parametrize("table", EVERY_TABLE, ids=lambda table: table.name)
def test_what_leads_to_another_row_is_held_to_it(table: sa.Table) -> None:
    """A column called ``…_id`` is a foreign key: a row that leads nowhere cannot be written."""
    assert not [column.name for column in table.columns if column.name.endswith("_id") and not column.foreign_keys]
