"""Densities of a run-down test from a file: a table of our own with a line a sheet, or the tagged text of ISO 28178.

The table has the headings ``sheet`` and ``density``, and ``stage`` where the stages were run otherwise than planned;
commas, semicolons or tabs between. Sheets count from 1, the first without ink feed. A density left empty, or ``-``, was
not read. Tagged text knows no stages: its samples are the sheets in their order.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from filmsplit.formats.measurement_text import (
    HIGHEST_DENSITY,
    MOST_PROBLEMS,
    is_tagged,
    measurement_text,
    read_measurement_text,
)
from filmsplit.messages import Place, Problem, Refusal

_HEADINGS = ("sheet", "density", "stage")
_NEEDED = 2
_UNREAD = ("", "-")
_FIRST_CHOICE = "D_MAJOR_FILTER"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDensity:
    """One sheet: number from 1, density (``None``: not read), the stage as written (empty: as the sheet before)."""

    sheet: int
    density: float | None
    stage: str = ""


def read_run_down(path: Path) -> tuple[SheetDensity, ...]:
    """The sheets in their order; :class:`Refusal` with every problem and its line."""
    text = measurement_text(path)
    sheets = _tagged(text, path.name) if is_tagged(text) else _Table(path.name).read(text)
    if not sheets:
        raise Refusal(Problem("measurement-empty", {"file": path.name}))
    return tuple(sorted(sheets, key=lambda each: each.sheet))


def _tagged(text: str, name: str) -> list[SheetDensity]:
    samples = read_measurement_text(text, name=name).samples
    fields = sorted({field for sample in samples for field in sample.densities})
    if _FIRST_CHOICE not in fields and len(fields) > 1:
        raise Refusal(Problem("run-down-which-density", {"fields": ", ".join(fields)}, place=Place(name, 1, 1)))
    field = _FIRST_CHOICE if _FIRST_CHOICE in fields else fields[0]
    return [SheetDensity(sheet=each.number, density=each.densities.get(field)) for each in samples]


class _Table:
    """One walk through a table."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.sheets: dict[int, SheetDensity] = {}

    def read(self, text: str) -> list[SheetDensity]:
        """The lines as sheets."""
        if "\x00" in text:
            raise Refusal(Problem("measurement-not-text", {"file": self.name}))
        lines = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
        if not lines:
            return []
        separator = max(";\t,", key=lines[0][1].count)
        rows = list(self._rows(lines, separator))
        headings = [each.lower() for each in rows[0][1]]
        self._check_headings(headings, rows[0][0])
        for number, row in rows[1:]:
            self._sheet(number, row, headings=headings)
        if self.problems:
            raise Refusal(self.problems)
        return list(self.sheets.values())

    def _rows(self, lines: list[tuple[int, str]], separator: str) -> Iterator[tuple[int, list[str]]]:
        for number, line in lines:
            yield number, [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]

    def _check_headings(self, headings: list[str], line: int) -> None:
        missing = [each for each in _HEADINGS[:_NEEDED] if each not in headings]
        if missing:
            values = {"missing": ", ".join(missing)}
            raise Refusal(Problem("run-down-headings", values, place=Place(self.name, line, 1)))

    def _sheet(self, line: int, row: list[str], *, headings: list[str]) -> None:
        if len(row) > len(headings):
            # A decimal comma between commas would otherwise be read as another number.
            self._complain("run-down-row-length", line, cells=len(row), headings=len(headings))
            return
        cells = dict(zip(headings, row, strict=False))
        number = self._number(line, cells)
        density = self._density(line, cells.get("density", ""))
        if number is not None:
            self.sheets[number] = SheetDensity(sheet=number, density=density, stage=cells.get("stage", "")[:40])

    def _number(self, line: int, cells: Mapping[str, str]) -> int | None:
        word = cells.get("sheet", "")
        number = int(word) if word.isascii() and word.isdigit() and len(word) <= 6 else 0
        if number < 1:
            self._complain("run-down-not-a-sheet", line, given=word[:40])
            return None
        if number in self.sheets:
            self._complain("run-down-sheet-twice", line, sheet=number)
        return number

    def _density(self, line: int, word: str) -> float | None:
        if word in _UNREAD:
            return None
        try:
            density = float(word.replace(",", "."))
        except ValueError:
            density = math.nan
        if not 0 <= density <= HIGHEST_DENSITY:
            self._complain("run-down-not-a-density", line, given=word[:40], highest=HIGHEST_DENSITY)
            return None
        return density

    def _complain(self, slug: str, line: int, **values: object) -> None:
        if len(self.problems) < MOST_PROBLEMS:
            self.problems.append(Problem(slug, values, place=Place(self.name, line, 1)))
