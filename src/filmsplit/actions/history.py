"""What was put on record, by whom and when; as a table to take along too."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.actions.register import Daybook, looking
from filmsplit.actions.solution_words import sample_words
from filmsplit.messages import label
from filmsplit.records.entries import Entry
from filmsplit.records.history import (
    OTHER_KINDS,
    Line,
    Wanted,
    history_lines,
    kinds_on_record,
)
from filmsplit.records.kinds import KINDS
from filmsplit.records.rounds import names_on_record
from filmsplit.units.conductivity import ConductivitySystem
from filmsplit.units.writing import LengthSystem, TemperatureSystem, format_lengths, format_temperature

MOST_NAMES = 50
COLUMNS = ("at", "day", "kind", "press", "about", "said", "person", "state", "number")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Lines, and what there is to choose them by."""

    lines: tuple[Line, ...]
    kinds: tuple[str, ...]
    people: tuple[str, ...]


def history_in(wanted: Wanted, *, book: Daybook) -> History:
    """The newest lines that are wanted. A shop without records has none."""
    if not book.records.exists():
        return History(lines=(), kinds=(), people=())
    with looking(book) as connection:
        return History(
            lines=history_lines(connection, wanted),
            kinds=(*kinds_on_record(connection), *OTHER_KINDS),
            people=names_on_record(connection, most=MOST_NAMES),
        )


def said_words(
    line: Line,
    *,
    lengths: LengthSystem = LengthSystem.METRIC,
    temperatures: TemperatureSystem = TemperatureSystem.CELSIUS,
    conductivities: ConductivitySystem = ConductivitySystem.MICROSIEMENS,
) -> str:
    """What a line says: values with their unit, a grade, a counter, or its own words."""
    if line.sample is not None and not line.strikes:
        return sample_words(line.sample, conductivities=conductivities, temperatures=temperatures)
    entry = line.entry
    if entry is None or line.strikes:
        return line.said
    parts = [_values(entry, lengths) if entry.values else "", entry.grade, entry.product, entry.remarks]
    parts += [] if entry.impressions is None else [str(entry.impressions)]
    parts += [] if entry.temperature_c is None else [format_temperature(entry.temperature_c, temperatures)]
    return ", ".join(part for part in parts if part)


def _values(entry: Entry, lengths: LengthSystem) -> str:
    unit = KINDS[entry.kind].unit
    if unit == LengthSystem.METRIC.value:
        return format_lengths(entry.values, lengths)
    return f"{' / '.join(f'{value:g}' for value in entry.values)} {unit}"


def state_words(line: Line) -> str:
    """Whether a line counts, and what became of it where it does not."""
    if line.strikes:
        return label("history_state.strikes", number=line.replaces)
    if line.replaced_by is not None:
        return label("history_state.replaced", number=line.replaced_by)
    return "" if line.replaces is None else label("history_state.replaces", number=line.replaces)


def as_csv(lines: Sequence[Line]) -> str:
    """The lines as CSV. A text that a spreadsheet would take for a formula is marked as text."""
    written = io.StringIO()
    table = csv.writer(written)
    table.writerow([label(f"history_column.{name}") for name in COLUMNS])
    for line in lines:
        texts = (line.kind, line.press, line.about, said_words(line), line.person, state_words(line))
        table.writerow([line.at.isoformat(), line.day, *map(_plain, texts), line.number])
    return written.getvalue()


def _plain(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
