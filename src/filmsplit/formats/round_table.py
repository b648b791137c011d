"""A round of readings as a table (CSV): one reading a line, to print, fill in and read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from filmsplit.messages import Place, Problem, Refusal

COLUMNS = (
    "kind",
    "where",
    "values",
    "at",
    "angle_deg",
    "temperature_c",
    "instrument",
    "person",
    "product",
    "remarks",
)
NEEDED = COLUMNS[:3]


@dataclass(frozen=True, slots=True)
class RoundLine:
    """A line that has values: its cells by column, and where it stands."""

    cells: Mapping[str, str]
    place: Place


def read_round(text: str, *, name: str) -> tuple[RoundLine, ...]:
    """The filled lines of a table; one without values was not read, and is left out. Cells are parted by comma,
    semicolon or tab. :class:`Refusal` where columns are not known or are missing, or nothing was filled in.
    """
    text = text.removeprefix("\ufeff")  # some spreadsheets write this mark
    head = text.partition("\n")[0]
    delimiter = next((sign for sign in (";", "\t") if sign in head), ",")
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise Refusal(Problem("round-not-a-table", {"file": name, "reason": str(error)})) from error
    names = [cell.strip() for cell in rows[0]] if rows else []
    wrong = [each for each in names if each not in COLUMNS] + [each for each in NEEDED if each not in names]
    if wrong:
        values = {"file": name, "wrong": ", ".join(wrong), "known": ", ".join(COLUMNS)}
        raise Refusal(Problem("round-columns", values))
    found = tuple(_lines(rows[1:], names, name=name))
    if not found:
        raise Refusal(Problem("round-empty", {"file": name}))
    return found


def write_round(lines: Iterable[Mapping[str, str]]) -> str:
    """A table to fill in."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(lines)
    return text.getvalue()


def _lines(rows: list[list[str]], names: list[str], *, name: str) -> Iterable[RoundLine]:
    for number, row in enumerate(rows, start=2):
        cells = {column: cell.strip() for column, cell in zip(names, row, strict=False)}
        if cells.get("values"):
            yield RoundLine(cells, Place(name, number, 1))
