"""What `press compare` prints: counts, what they stand for, and the rollers that interchange."""

from __future__ import annotations

from rich.console import Console

from filmsplit.actions.compare import Characters, Compared
from filmsplit.actions.compare_words import cell_said, definitions, figure_names, figures_said
from filmsplit.cli.press_pages import print_interchange
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label


def print_comparison(compared: Compared) -> None:
    """Presses side by side: facts, figures, rollers that interchange."""
    out = console()
    comparison = compared.comparison
    names = [name or id for id, name in zip(comparison.ids, comparison.names, strict=True)]
    made = table(("", "left"), *((name, "right") for name in names))
    for row in comparison.rows:
        unit = f" {row.unit}" if row.unit else ""
        made.add_row(f"{label(row.label_key)}{unit}", *(cell_said(cell) for cell in row.cells))
    out.print(made)
    if compared.characters is not None:
        print_characters(compared.characters, names, out=out)
    print_interchange(compared.interchange, out=out)


def print_characters(characters: Characters, names: list[str], *, out: Console) -> None:
    """What the counts stand for, and under the table what each figure is."""
    out.print(f"[bold]{label('character.title')}[/]")
    made = table(("", "left"), *((name, "right") for name in names))
    for name, unit in figure_names(characters).items():
        made.add_row(
            f"{label(f'character.{name}')} {unit}".rstrip(),
            *(figures_said(press, name) for press in characters.presses),
        )
    out.print(made)
    for line in definitions(characters):
        print_bullet(line, out=out)
    echo_problems([problem for press in characters.presses for unit in press.units for problem in unit.problems])
    out.print()
