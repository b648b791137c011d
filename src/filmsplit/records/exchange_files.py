"""Exports as files: a JSON file, or a folder with a CSV for each table."""

from __future__ import annotations

import csv
from pathlib import Path

from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.records.exchange import Rows
from filmsplit.records.exchange_text import rows_from_csv, rows_from_json, rows_to_csv, rows_to_json

JSON_ENDING = ".json"
CSV_ENDING = ".csv"


def write_export(rows: Rows, to: Path, *, over: bool) -> None:
    """Write a JSON file where ``to`` ends so, otherwise a folder of CSV. What is there stays unless ``over``."""
    if to.suffix.lower() == JSON_ENDING:
        write_file(to, rows_to_json(rows).encode(), over=over)
        return
    files = {to / f"{name}{CSV_ENDING}": text for name, text in rows_to_csv(rows).items()}
    there = [path for path in files if path.exists()]
    if there and not over:
        raise Refusal(Problem("file-in-the-way", {"file": str(path)}) for path in there)
    for path, text in files.items():
        write_file(path, text.encode(), over=over)


def read_export(source: Path) -> Rows:
    """The rows of an export. :class:`Refusal` where it is none, or cannot be read."""
    try:
        if source.is_dir():
            texts = {path.stem: _text(path) for path in sorted(source.glob(f"*{CSV_ENDING}"))}
            return rows_from_csv(texts, name=str(source))
        return rows_from_json(_text(source), name=str(source))
    except (UnicodeDecodeError, csv.Error) as error:
        raise Refusal(Problem("import-not-an-export", {"file": str(source)})) from error
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(source), "detail": error.strerror or ""})) from error


def _text(path: Path) -> str:
    """The text as it stands, line ends too; some spreadsheets write a mark before it."""
    return path.read_bytes().decode("utf-8-sig")
