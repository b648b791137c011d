"""Presses side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from filmsplit.actions.find import find_press
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press
from filmsplit.press.comparison import Comparison, compare
from filmsplit.press.interchange import Interchange, interchange_groups
from filmsplit.studies.character import Character, character_of
from filmsplit.studies.standard_job import COARSE, ERRORS, STANDARD_JOB, Cells, StandardJob

Told = Callable[[str, float], None]
"""Told the press at hand, and the part of all work that is done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PressCharacter:
    """What the counts of one press stand for, unit by unit."""

    press: str
    units: tuple[Character, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Characters:
    """The figures of all presses, the jobs and cells they were computed with, and what the cells may cost.

    ``errors`` are in % of the figure; of the film for the ghost; at least one sheet for the response.
    """

    job: StandardJob
    cells: Cells
    errors: dict[str, float]
    presses: tuple[PressCharacter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The table, which rollers fit where, and what the counts stand for (``None``: not asked for)."""

    comparison: Comparison
    interchange: Interchange
    characters: Characters | None = None


def compare_presses(references: Sequence[str], *, ink: bool = True, told: Told | None = None) -> Compared:
    """Compare the presses meant; every press that cannot be read is named, not only the first.

    ``ink`` also computes what the counts stand for, which takes a moment.
    """
    presses, problems = [], list[Problem]()
    for reference in references:
        try:
            presses.append(find_press(reference).press)
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return Compared(
        comparison=compare(presses),
        interchange=interchange_groups(presses),
        characters=_characters(presses, told or _nobody) if ink else None,
    )


def _characters(presses: Sequence[Press], told: Told) -> Characters:
    """Every unit of every press, one after the other."""
    units = sum(len(press.units) for press in presses)
    found: list[PressCharacter] = []
    before = 0
    for press in presses:
        characters = []
        for unit in press.units:

            def part(done: float, press: Press = press, before: int = before) -> None:
                told(press.name or press.id, (before + done) / units)

            characters.append(character_of(press, unit, told=part))
            before += 1
        found.append(PressCharacter(press=press.id, units=tuple(characters)))
    return Characters(job=STANDARD_JOB, cells=COARSE, errors=dict(ERRORS), presses=tuple(found))


def _nobody(_press: str, _part: float) -> None:
    """Nobody wants to know."""
