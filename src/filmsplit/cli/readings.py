"""Distances as typed on the command line."""

from __future__ import annotations

from collections.abc import Iterable

from filmsplit.faults.marks import Reading
from filmsplit.messages import Problem, Refusal
from filmsplit.units import parse_length_mm

NEXT_SHEET = "/"
"""Stands between the distances of one sheet and those of the next."""


def read_distances(words: Iterable[str]) -> list[Reading]:
    """Typed distances as (sheet, mm); every word that is not understood is named at once."""
    readings: list[Reading] = []
    problems: list[Problem] = []
    sheet = 0
    for word in words:
        if word == NEXT_SHEET:
            sheet += 1
            continue
        try:
            readings.append((sheet, parse_length_mm(word)))
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return readings


def read_sheet_mm(text: str) -> tuple[float, float]:
    """Length x width of a sheet, each with a unit or in mm; ``ValueError`` or :class:`Refusal` where it is none."""
    parts = text.lower().replace("×", "x").split("x")
    if len(parts) != 2:
        raise ValueError(text)
    return parse_length_mm(parts[0]), parse_length_mm(parts[1])
