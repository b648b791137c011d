"""A press as found, as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.as_found import AsFound, FoundRoller, FoundUnit
from filmsplit.actions.as_found_told import beside, case_heads, case_rows, contact_rows
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import Severity, label


def print_found(found: AsFound) -> None:
    """The assumption first; then each unit: rollers, contacts, and what it does to the print."""
    for note in found.notes:
        if note.severity is Severity.INFORMATION:
            print_bullet(note.what, out=console())
        else:
            click.echo(problem_text(note))
    for unit in found.units:
        if len(found.units) > 1:
            console().print(f"\n[bold]{label('show.unit', unit=unit.unit)}[/]")
        _print_rollers(unit)
        _print_contacts(unit)
        _print_cases(unit)


def _print_rollers(unit: FoundUnit) -> None:
    read = [each for each in unit.rollers if each.read_on is not None]
    if not read:
        return
    names = ("roller", "diameter", "turn", "slip", "hardness", "day")
    made = table(*((label(f"as_found.{name}"), "left" if name in ("roller", "day") else "right") for name in names))
    for each in read:
        made.add_row(*_roller_cells(each))
    console().print(made)


def _roller_cells(each: FoundRoller) -> tuple[str, ...]:
    slip = "" if each.slip is None else f"{100 * each.slip:+.2f} %"
    hardness = beside(each.file_hardness_shore_a, each.hardness_shore_a, decimals=0)
    return (
        f"{each.place} ({each.mark})",
        beside(each.file_diameter_mm, each.diameter_mm, decimals=2),
        beside(each.file_repeat_mm, each.repeat_mm, decimals=1),
        slip,
        hardness,
        "" if each.read_on is None else each.read_on.isoformat(),
    )


def _print_contacts(unit: FoundUnit) -> None:
    rows = list(contact_rows(unit))
    if not rows:
        return
    names = ("contact", "stripe", "target", "share", "day")
    made = table(*((label(f"as_found.{name}"), "left" if name in ("contact", "day") else "right") for name in names))
    for row in rows:
        made.add_row(*row)
    console().print(made)


def _print_cases(unit: FoundUnit) -> None:
    """One column a case: as drawn, then as found from no effect to strong."""
    made = table((label("as_found.same_keys"), "left"), *((head, "right") for head in case_heads(unit)))
    for row in case_rows(unit):
        made.add_row(*row)
    console().print(made)
    for each in unit.cases:
        if each.outcome is not None:
            click.echo(problem_text(each.outcome))
