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
