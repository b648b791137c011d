"""What `press compare` prints: counts, what they stand for, and the rollers that interchange."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from filmsplit.actions.compare import Characters, Compared, PressCharacter
from filmsplit.cli.press_pages import print_interchange
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label
from filmsplit.press.comparison import Cell, Value
from filmsplit.studies.standard_job import Figure

EXPLAINED = ("ghost", "mixing", "store", "respond")
"""The kinds of figures, each with its definition at the foot."""


def print_comparison(compared: Compared) -> None:
    """Presses side by side: facts, figures, rollers that interchange."""
    out = console()
    comparison = compared.comparison
    names = [name or id for id, name in zip(comparison.ids, comparison.names, strict=True)]
    made = table(("", "left"), *((name, "right") for name in names))
    for row in comparison.rows:
        unit = f" {row.unit}" if row.unit else ""
        made.add_row(f"{label(row.label_key)}{unit}", *(_cell(cell) for cell in row.cells))
    out.print(made)
    if compared.characters is not None:
        print_characters(compared.characters, names, out=out)
    print_interchange(compared.interchange, out=out)


def print_characters(characters: Characters, names: list[str], *, out: Console) -> None:
    """What the counts stand for, and under the table what each figure is."""
    out.print(f"[bold]{label('character.title')}[/]")
    made = table(("", "left"), *((name, "right") for name in names))
    for name, unit in _names(characters).items():
        made.add_row(
            f"{label(f'character.{name}')} {unit}".rstrip(),
            *(_figures(press, name) for press in characters.presses),
        )
    out.print(made)
    for line in _definitions(characters):
        print_bullet(line, out=out)
    echo_problems([problem for press in characters.presses for unit in press.units for problem in unit.problems])
    out.print()


def _names(characters: Characters) -> dict[str, str]:
    """Name and unit of every figure, in their order."""
    return {f.name: f.unit for press in characters.presses for unit in press.units for f in unit.figures}


def _figures(press: PressCharacter, name: str) -> str:
    """One figure of each unit, or a single one where all units show the same."""
    shown = [_shown([f for f in unit.figures if f.name == name]) for unit in press.units]
    return shown[0] if len(set(shown)) == 1 else " / ".join(shown)


def _shown(found: list[Figure]) -> str:
    if not found:
        return "–"
    figure = found[0]
    if figure.value is None:
        return label(figure.missing)
    if isinstance(figure.value, int):
        return str(figure.value)
    return f"{float(f'{figure.value:.2g}'):g}"  # two figures are what the cells are good for, and no powers of ten


def _definitions(characters: Characters) -> Iterator[str]:
    job = characters.job
    values = {
        "tint": f"{100 * job.tint:g}",
        "film": f"{job.film_um:g}",
        "density": f"{job.density_g_per_cm3:g}",
        "light": f"{100 * job.light:g}",
        "heavy": f"{100 * job.heavy:g}",
        "strip": f"{job.strip_mm:g}",
    }
    yield label("character.job", **values)
    for kind in EXPLAINED:
        yield label(f"character.{kind}_is", error=f"{characters.errors[kind]:g}", **values)
    pulled = max((unit.cycles_pulled for press in characters.presses for unit in press.units), default=0.0)
    if pulled > 0:
        yield label("character.pulled", percent=f"{100 * pulled:.0f}")


def _cell(cell: Cell) -> str:
    return " / ".join(_value(value) for value in cell)


def _value(value: Value) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return label("show.yes") if value else label("show.no")
    return f"{value:.4g}" if isinstance(value, float) else str(value)
