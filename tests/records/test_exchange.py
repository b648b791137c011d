"""Export and import round-trip; a backup is the records of one moment, and restoring loses nothing."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from filmsplit.actions.record_files import export, import_export, make_backup, restore_backup
from filmsplit.actions.register import Daybook
from filmsplit.messages import Refusal
from filmsplit.records.entries import all_entries, log_entry
from filmsplit.records.jobs import log_job
from filmsplit.records.store import Store
from records.made_readings import DAY, ENTRIES, HARDNESS, filled
from records.test_jobs import POSTER
from records.test_migrations import OLD, rows_of


@pytest.fixture
def book(tmp_path: Path) -> Daybook:
    """A shop with a job, rollers, readings of each shape and a correction."""
    path = tmp_path / "shop.records"
    store = filled(Store.at(path))
    with store.write("job log") as writer:
        log_job(writer, POSTER)
    with store.write("correction") as writer:
        log_entry(writer, HARDNESS, instead_of=1)
    store.close()
    return Daybook(path, date(2031, 1, 1))


def elsewhere(book: Daybook) -> Daybook:
    return Daybook(book.records.with_name("other.records"), book.day)


def refused(action: Callable[..., object], *given: object, **named: object) -> set[str]:
    with pytest.raises(Refusal) as refusal:
        action(*given, **named)
    return {problem.slug for problem in refusal.value.problems}


@pytest.mark.parametrize("name", ["all.json", "all"])
def test_what_is_imported_is_what_was_exported(book: Daybook, tmp_path: Path, name: str) -> None:
    """To the last row, as SQLite itself reads both files; and exported again it is the same bytes."""
    rows = export(tmp_path / name, book=book)
    assert import_export(tmp_path / name, book=elsewhere(book)) == rows
    assert rows_of(elsewhere(book).records) == rows_of(book.records)
    export(tmp_path / f"again {name}", book=elsewhere(book))
    assert _bytes(tmp_path / f"again {name}") == _bytes(tmp_path / name)


def _bytes(path: Path) -> dict[str, bytes]:
    files = sorted(path.iterdir()) if path.is_dir() else [path]
    return {file.suffix + (file.stem if path.is_dir() else ""): file.read_bytes() for file in files}


@pytest.mark.parametrize("name", ["all.json", "all"])
def test_what_is_there_stays(book: Daybook, tmp_path: Path, name: str) -> None:
    export(tmp_path / name, book=book)
    assert refused(export, tmp_path / name, book=book) == {"file-in-the-way"}
    assert refused(import_export, tmp_path / name, book=book) == {"records-not-empty"}
    assert export(tmp_path / name, book=book, over=True)


Change = Callable[[dict[str, Any]], object]


@pytest.mark.parametrize(
    ("change", "slug"),
    [
        (lambda whole: whole.update(filmsplit="press 1"), "import-not-an-export"),
        (lambda whole: whole.update(tables=[]), "import-not-an-export"),
        (lambda whole: whole["tables"].update(rollers=[7]), "import-not-an-export"),
        (lambda whole: whole.update(revision="r0001"), "import-other-revision"),
        (lambda whole: whole["tables"].pop("points"), "import-table-unknown"),
        (lambda whole: whole["tables"].update(extra=[]), "import-table-unknown"),
        (lambda whole: whole["tables"]["points"][0].pop("place"), "import-column-unknown"),
        (lambda whole: whole["tables"]["points"][0].update(width_in=1), "import-column-unknown"),
        (lambda whole: whole["tables"]["points"][0].update(number="one"), "import-value-unfit"),
        (lambda whole: whole["tables"]["points"][0].update(number=True), "import-value-unfit"),
        (lambda whole: whole["tables"]["entries"][0].update(day=None), "import-value-unfit"),
        (lambda whole: whole["tables"]["entries"][0].update(day="2030-03-04T10:00"), "import-value-unfit"),
        (lambda whole: whole["tables"]["entries"][0].update(day="yesterday!"), "import-rows-disagree"),
        (lambda whole: whole["tables"]["entries"][0].update(kind="softness"), "import-rows-disagree"),
        (lambda whole: whole["tables"]["entries"][0].update(roller_id=99), "import-rows-disagree"),
        (lambda whole: whole["tables"]["points"][0].update(hardness_shore_a=None), "import-rows-disagree"),
        (lambda whole: whole["tables"]["rollers"][1].update(mark="K1"), "import-rows-disagree"),
    ],
)
def test_an_export_that_was_tampered_with_is_refused_whole(
    book: Daybook, tmp_path: Path, change: Change, slug: str
) -> None:
    path = tmp_path / "all.json"
    export(path, book=book)
    whole = json.loads(path.read_text(encoding="utf-8"))
    change(whole)
    path.write_text(json.dumps(whole), encoding="utf-8")
    assert refused(import_export, path, book=elsewhere(book)) == {slug}
    other = elsewhere(book).records
    assert not other.exists() or not any(rows for name, rows in rows_of(other).items() if name != "alembic_version")


@pytest.mark.parametrize("text", ["", "{", "null", "[1]", "\x00", "a,b\n1,2\n"])
def test_other_files_are_no_exports(book: Daybook, tmp_path: Path, text: str) -> None:
    (tmp_path / "x.json").write_text(text, encoding="utf-8")
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "about.csv").write_text(text, encoding="utf-8")
    for path in (tmp_path / "x.json", tmp_path / "folder"):
        assert refused(import_export, path, book=elsewhere(book)) == {"import-not-an-export"}
    assert refused(import_export, tmp_path / "nothing", book=elsewhere(book)) == {"file-not-readable"}


# Backup and restore ---------------------------------------------------------------------------------------------------


def test_a_backup_is_the_records_in_one_file(book: Daybook, tmp_path: Path) -> None:
    """Also while a writer has rows in the log that stand in no file yet."""
    store = Store.at(book.records)
    with store.write("late") as writer:
        log_entry(writer, HARDNESS)
    copy = tmp_path / "copies" / "monday.backup"
    rows = make_backup(copy, book=book)
    assert rows == sum(map(len, rows_of(book.records).values())) - 1, "all but the row of the revision"
    assert rows_of(copy) == rows_of(book.records)
    assert [path.name for path in copy.parent.iterdir()] == ["monday.backup"]
    store.close()
    assert refused(make_backup, copy, book=book) == {"file-in-the-way"}


def test_restoring_gives_back_what_was_there_and_keeps_what_is(book: Daybook, tmp_path: Path) -> None:
    copy = tmp_path / "monday.backup"
    make_backup(copy, book=book)
    before = rows_of(book.records)
    store = Store.at(book.records)
    with store.write("since") as writer:
        log_entry(writer, HARDNESS)
    store.close()
    since = rows_of(book.records)
    assert refused(restore_backup, copy, book=book) == {"records-in-the-way"}
    assert rows_of(book.records) == since
    kept = restore_backup(copy, book=book, over=True)
    assert kept is not None
    assert (rows_of(book.records), rows_of(kept)) == (before, since)
    assert restore_backup(copy, book=elsewhere(book)) is None
    assert rows_of(elsewhere(book).records) == before


def test_records_that_are_spoilt_are_kept_too(book: Daybook, tmp_path: Path) -> None:
    copy = tmp_path / "monday.backup"
    make_backup(copy, book=book)
    before = rows_of(book.records)
    book.records.write_bytes(b"spoilt" * 1000)
    kept = restore_backup(copy, book=book, over=True)
    assert kept is not None
    assert kept.read_bytes() == b"spoilt" * 1000
    assert rows_of(book.records) == before


@pytest.mark.parametrize("cut", [0, 100, 5000])
def test_a_backup_that_is_not_whole_is_refused(book: Daybook, tmp_path: Path, cut: int) -> None:
    copy, before = tmp_path / "monday.backup", rows_of(book.records)
    make_backup(copy, book=book)
    copy.write_bytes(copy.read_bytes()[:cut])
    assert refused(restore_backup, copy, book=book, over=True) == {"backup-not-sound"}
    assert rows_of(book.records) == before


def test_a_spoilt_page_is_found(book: Daybook, tmp_path: Path) -> None:
    copy = tmp_path / "monday.backup"
    make_backup(copy, book=book)
    whole = bytearray(copy.read_bytes())
    whole[4096 * 2 : 4096 * 6] = bytes(4096 * 4)
    copy.write_bytes(whole)
    assert refused(restore_backup, copy, book=book, over=True) == {"backup-not-sound"}


def test_a_backup_of_a_newer_program_is_refused(book: Daybook, tmp_path: Path) -> None:
    copy = tmp_path / "monday.backup"
    make_backup(copy, book=book)
    with sqlite3.connect(copy) as connection:
        connection.execute("UPDATE alembic_version SET version_num = 'r9999'")
    connection.close()
    assert refused(restore_backup, copy, book=book, over=True) == {"records-newer"}


@pytest.mark.parametrize("old", OLD, ids=lambda path: path.stem)
def test_a_backup_of_an_older_revision_is_brought_up_to_date(old: Path, tmp_path: Path) -> None:
    copy, book = tmp_path / "old.backup", Daybook(tmp_path / "shop.records", DAY)
    connection = sqlite3.connect(copy)
    connection.executescript(old.read_text(encoding="utf-8"))
    connection.close()
    jobs = rows_of(copy)["jobs"]
    restore_backup(copy, book=book)
    assert [row["code"] for row in rows_of(book.records)["jobs"]] == [row["code"] for row in jobs]
    assert rows_of(copy)["jobs"] == jobs, "the backup itself is left as it was"


def test_a_backup_made_while_others_write_is_whole(book: Daybook, tmp_path: Path) -> None:
    """Entries and their points belong together in every copy, whenever it was made."""
    for number in range(5):
        store = Store.at(book.records)
        with store.write("more") as writer:
            for _ in range(20):
                log_entry(writer, HARDNESS)
            make_backup(tmp_path / f"{number}.backup", book=book)
        store.close()
        with Store.at(tmp_path / f"{number}.backup").read() as connection:
            found = all_entries(connection, kinds=["hardness"])
        assert len(found) == ENTRIES.count(HARDNESS) + 1 + 20 * number
    shutil.rmtree(tmp_path, ignore_errors=True)
