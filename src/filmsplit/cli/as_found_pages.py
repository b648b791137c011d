"""A press as found, as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.as_found import AsFound, FoundContact, FoundRoller, FoundUnit
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.condition.exchange_share import Strength
from filmsplit.messages import Severity, label
from filmsplit.studies.as_found import Case


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
    hardness = _beside(each.file_hardness_shore_a, each.hardness_shore_a, decimals=0)
    return (
        f"{each.place} ({each.mark})",
        _beside(each.file_diameter_mm, each.diameter_mm, decimals=2),
        _beside(each.file_repeat_mm, each.repeat_mm, decimals=1),
        slip,
        hardness,
        "" if each.read_on is None else each.read_on.isoformat(),
    )


def _beside(before: float | None, after: float | None, *, decimals: int) -> str:
    """As in the file, and as found where it was read."""
    if before is None:
        return ""
    if after is None or round(before, decimals) == round(after, decimals):
        return f"{before:.{decimals}f}"
    return f"{before:.{decimals}f} → {after:.{decimals}f}"


def _print_contacts(unit: FoundUnit) -> None:
    read = [each for each in unit.contacts if each.widths_mm or each.told is not None]
    if not read:
        return
    names = ("contact", "stripe", "target", "share", "day")
    made = table(*((label(f"as_found.{name}"), "left" if name in ("contact", "day") else "right") for name in names))
    for each in read:
        day = "" if each.read_on is None else each.read_on.isoformat()
        widths = " / ".join(f"{width:.1f}" for width in each.widths_mm)
        made.add_row(each.contact, widths, f"{each.target_mm:.1f}", _share(each), day)
    console().print(made)


def _share(each: FoundContact) -> str:
    """By run-down, else from strong to none."""
    if each.told is not None:
        return label("as_found.told", share=f"{each.told:.2f}")
    strong, none = each.shares[Strength.STRONG.value], each.shares[Strength.NONE.value]
    return f"{none:.2f}" if strong == none else f"{strong:.2f} … {none:.2f}"


def _print_cases(unit: FoundUnit) -> None:
    """One column a case: as drawn, then as found from no effect to strong."""
    cases = unit.cases
    made = table((label("as_found.same_keys"), "left"), *((_head(each), "right") for each in cases))
    made.add_row(label("as_found.sheet"), *(_number(each.sheet_um, 3) for each in cases))
    made.add_row(label("as_found.spread"), *map(_spread, cases))
    for form in cases[0].forms:
        made.add_row(label("as_found.form", form=form.id), *(_form(each, form.id) for each in cases))
    made.add_row(label("as_found.stored"), *(_number(each.stored_g, 2) for each in cases))
    made.add_row(label("as_found.respond"), *(_number(each.sheets_95, 0) for each in cases))
    console().print(made)
    for each in cases:
        if each.outcome is not None:
            click.echo(problem_text(each.outcome))


def _head(case: Case) -> str:
    return label("as_found.drawn") if case.strength is None else label(f"as_found_case.{case.strength.value}")


def _form(case: Case, form: str) -> str:
    share = next((each.share for each in case.forms if each.id == form), None)
    return label("as_found.unknown") if share is None else f"{100 * share:.0f} %"


def _number(value: float | None, decimals: int) -> str:
    return label("as_found.unknown") if value is None else f"{value:.{decimals}f}"


def _spread(case: Case) -> str:
    if case.sheet_least_um is None or case.sheet_most_um is None:
        return label("as_found.unknown")
    return f"{case.sheet_least_um:.2f} … {case.sheet_most_um:.2f}"
