"""What `press show` and `press compare` print."""

from __future__ import annotations

import os
import sys
import textwrap

from rich.console import Console

from filmsplit.actions.compare import Compared
from filmsplit.actions.press import PressShown
from filmsplit.actions.train import sketch
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, show_facts, table
from filmsplit.messages import label
from filmsplit.press import Press
from filmsplit.press.comparison import Cell, Value
from filmsplit.press.fits import Difference
from filmsplit.press.interchange import Interchange

_MOST_UNKNOWNS = 3


def print_press(shown: PressShown, *, drawing: bool) -> None:
    """A press: name, drawing, facts, what is assumed, what its file should be told."""
    out = console()
    print_title(shown.press, out=out)
    if drawing:
        print_sketch(shown.press, out=out)
    show_facts(shown.press, shown.facts, out=out)
    print_unknowns(shown, out=out)
    out.print()
    out.print(f"[dim]{label('show.legend')}[/]")
    if shown.loaded.notices:
        out.print()
        echo_problems(shown.loaded.notices)


def print_title(press: Press, *, out: Console) -> None:
    """Name, whether it exists, and the note."""
    invented = f"  ({label('show.invented')})" if press.invented else ""
    out.print(f"[bold]{press.name or press.id}[/]{invented}")
    if press.note:
        print(textwrap.fill(press.note, width=out.width, initial_indent="  ", subsequent_indent="  "))


def print_sketch(press: Press, *, out: Console) -> None:
    """The train as far as a terminal can draw it."""
    out.print()
    for line in sketch(press, columns=out.width, plain=not _draws_braille()):
        print(line)


def print_unknowns(shown: PressShown, *, out: Console) -> None:
    """How much is assumed, and the few unknowns that matter most."""
    if not shown.press.assumptions:
        return
    out.print()
    out.print(label("show.assumed" if shown.unknowns else "show.assumed_harmless", count=len(shown.press.assumptions)))
    for unknown in shown.unknowns[:_MOST_UNKNOWNS]:
        print_bullet(unknown.sentence(where=".".join(unknown.path[1:])).what, out=out)


def print_comparison(compared: Compared) -> None:
    """Presses side by side, and the rollers that interchange."""
    out = console()
    comparison = compared.comparison
    names = [name or id for id, name in zip(comparison.ids, comparison.names, strict=True)]
    made = table(("", "left"), *((name, "right") for name in names))
    for row in comparison.rows:
        unit = f" {row.unit}" if row.unit else ""
        made.add_row(f"{label(row.label_key)}{unit}", *(_cell(cell) for cell in row.cells))
    out.print(made)
    print_interchange(compared.interchange, out=out)


def print_interchange(interchange: Interchange, *, out: Console) -> None:
    """Which rollers fit where, and which just fail to."""
    out.print(f"[bold]{label('compare_page.interchange')}[/]")
    if not interchange.groups:
        print_bullet(label("compare_page.no_groups"), out=out)
    for group in interchange.groups:
        members = ", ".join(f"{each.press} {each.unit} {each.roller}" for each in group.members)
        unsure = "" if group.certain else label("compare_page.check", what=", ".join(label(key) for key in group.check))
        print_bullet(f"{members}{unsure}", out=out)
    for miss in interchange.near_misses:
        a, b = miss.a, miss.b
        text = label(
            "compare_page.near_miss",
            a=f"{a.press} {a.unit} {a.roller}",
            b=f"{b.press} {b.unit} {b.roller}",
            why=_difference(miss.difference),
        )
        print_bullet(text, out=out)


def _difference(difference: Difference) -> str:
    what = label(difference.label_key)
    if difference.by is None:
        return label("compare_page.differs_in_words", what=what, a=difference.a, b=difference.b)
    return label(
        "compare_page.differs",
        what=what,
        a=f"{difference.a:g}",
        b=f"{difference.b:g}",
        unit=difference.unit,
        allowed=f"{difference.allowed:g}",
    )


def _cell(cell: Cell) -> str:
    return " / ".join(_value(value) for value in cell)


def _value(value: Value) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return label("show.yes") if value else label("show.no")
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def _draws_braille() -> bool:
    """Whether the terminal can show more than ASCII."""
    encoding = (sys.stdout.encoding or "ascii").lower()
    return "utf" in encoding and os.environ.get("TERM") != "dumb"
