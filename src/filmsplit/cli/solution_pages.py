"""Fountain solution as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.solution import PressSolution
from filmsplit.actions.solution_words import line_words, place_words, state_rows
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, name_line, table
from filmsplit.messages import label
from filmsplit.units.conductivity import ConductivitySystem, format_conductivity

MOST_SAMPLES = 20


def print_solution(found: PressSolution, *, written: ConductivitySystem) -> None:
    """The verdict with its reasons, the figures it rests on, and the newest samples."""
    judged = found.judged
    if judged.verdict is None and not found.samples:
        click.echo(label("solution.none"))
        return
    for name, value in state_rows(found, written=written):
        console().print(name_line(name, value))
    if judged.line is not None:
        click.echo(line_words(judged.line, written=written))
    for finding in judged.findings:
        click.echo(problem_text(finding.problem))
    _print_samples(found, written)


def _print_samples(found: PressSolution, written: ConductivitySystem) -> None:
    names = ("number", "day", "where", "conductivity", "ph", "celsius", "dose", "alcohol", "by", "note")
    numbers = ("number", "conductivity", "ph", "celsius", "dose", "alcohol")
    made = table(*((label(f"solution.{name}"), "right" if name in numbers else "left") for name in names))
    for each in reversed(found.samples[-MOST_SAMPLES:]):
        read = "" if each.us_per_cm is None else format_conductivity(each.us_per_cm, written)
        values = (each.ph, each.temperature_c, each.dose_percent, each.alcohol_percent)
        cells = ("" if value is None else f"{value:g}" for value in values)
        day = each.day.isoformat()
        made.add_row(str(each.number), day, place_words(each), read, *cells, each.person, each.note)
    console().print(made)
