"""Presses for a job, and layouts on presses, as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

import click

from filmsplit.actions.study_row import StudyRow
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label

FIGURES = ("ghost", "seen", "fall_off", "starved", "not_reached", "sheets_95", "waste")


def print_presses(rows: Sequence[StudyRow], *, layout: str, visible: float) -> None:
    """The presses that can print a job, the best first; those that cannot, with the reason."""
    out = console()
    out.print(f"[bold]{label('study.title', layout=layout)}[/]")
    click.echo(label("study.rule", percent=f"{100 * visible:g}"))
    able = [row for row in rows if not row.refused]
    if able:
        made = table(
            ("", "right"), (label("study.press"), "left"), *((label(f"study.{name}"), "right") for name in FIGURES)
        )
        for number, row in enumerate(able, start=1):
            made.add_row(str(number), row.press, *(_figure(row, name) for name in FIGURES))
        out.print(made)
    for row in rows:
        if row.refused:
            print_bullet(label("study.refused", press=row.press, why=" ".join(row.refused)), out=out)


def print_rows(rows: Sequence[StudyRow]) -> None:
    """Layouts on presses, in the order in which they were asked."""
    out = console()
    names = (label("study.layout"), label("study.press"))
    made = table(*((name, "left") for name in names), *((label(f"study.{name}"), "right") for name in FIGURES))
    for row in rows:
        made.add_row(row.layout, row.press, *(_figure(row, name) for name in FIGURES))
    out.print(made)
    refused = [row for row in rows if row.refused]
    for row in refused:
        words = label("study.refused_layout", layout=row.layout, press=row.press, why=" ".join(row.refused))
        print_bullet(words, out=out)


def _figure(row: StudyRow, name: str) -> str:
    value = getattr(row, name)
    if row.refused:
        return ""
    if name == "waste" and value is not None and value == row.looked_at:
        return label("study.all_of", value=value)
    if value is None:
        return label("study.longer")
    return label("study.percent", value=f"{100 * value:.1f}") if name in ("ghost", "fall_off") else str(value)
