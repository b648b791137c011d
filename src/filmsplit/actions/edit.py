"""Describe a press and change its description. Every change is whole or not at all."""

from __future__ import annotations

from pathlib import Path

from filmsplit.formats.press_edit import EditedPress, add_contacts, add_rollers, edit_file, set_value
from filmsplit.formats.press_file import read_text
from filmsplit.formats.press_schema import FILE_NAME, write_schema
from filmsplit.formats.press_template import new_press
from filmsplit.formats.replace_file import create_file
from filmsplit.press.words import TurnSense


def start_press(path: Path, *, name: str, plate_turns: TurnSense) -> Path:
    """A new press file to fill in, and the schema beside it that lets an editor complete it. Returns the schema."""
    text = new_press(path.stem, name, plate_turns=plate_turns, schema=FILE_NAME)
    create_file(path, text)
    return write_schema(path.parent)


def set_fields(path: Path, changes: dict[str, str]) -> EditedPress:
    """Several values at once: all of them, or none."""

    def change(text: str) -> str:
        for way, value in changes.items():
            text = set_value(text, way, value)
        return text

    return edit_file(path, change)


def take_rollers(path: Path, table: Path, *, unit: str | None = None) -> EditedPress:
    """Add every roller of a table (CSV)."""
    rows = read_text(table)
    return edit_file(path, lambda text: add_rollers(text, rows, unit=unit, name=str(table)))


def take_contacts(path: Path, table: Path, *, unit: str | None = None) -> EditedPress:
    """Add every contact of a table (CSV)."""
    rows = read_text(table)
    return edit_file(path, lambda text: add_contacts(text, rows, unit=unit, name=str(table)))
