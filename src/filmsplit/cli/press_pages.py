"""What `press show` prints, and which rollers interchange."""

from __future__ import annotations

import os
import sys
import textwrap
from dataclasses import is_dataclass
from enum import Enum

from rich.console import Console

from filmsplit.actions.compare_words import interchange_lines
from filmsplit.actions.press import PressShown
from filmsplit.actions.train import sketch
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, print_unknowns, show_facts, table
from filmsplit.messages import label
from filmsplit.press import Assumption, Press
from filmsplit.press.interchange import Interchange


def print_press(shown: PressShown, *, drawing: bool, assumed: bool = False) -> None:
    """A press: name, drawing, facts, what is assumed, what its file should be told."""
    out = console()
    print_title(shown.press, out=out)
    if drawing:
        print_sketch(shown.press, out=out)
    show_facts(shown.press, shown.facts, out=out)
    if shown.interchange.groups:
        out.print()
        print_interchange(shown.interchange, out=out)
    print_assumed(shown, out=out, every=assumed)
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
    for line in sketch(press, columns=out.width, plain=not draws_braille()):
        print(line)


def print_assumed(shown: PressShown, *, out: Console, every: bool) -> None:
    """How much is assumed, the few unknowns that matter most, and every one of them where asked."""
    assumptions = shown.press.assumptions
    if not assumptions:
        return
    out.print()
    out.print(label("show.assumed" if shown.unknowns else "show.assumed_harmless", count=len(assumptions)))
    print_unknowns(shown.unknowns, out=out)
    if not every:
        out.print(f"[dim]{label('show.assumed_all', press=shown.press.id)}[/]")
        return
    made = table(
        (label("show.field"), "left"),
        (label("show.value"), "right"),
        (label("show.source"), "left"),
        (label("show.counts_for"), "left"),
    )
    for each in sorted(assumptions, key=lambda one: not one.counts_for):  # what counts for something comes first
        purposes = ", ".join(label(f"purpose.{purpose}") for purpose in each.counts_for)
        made.add_row(".".join(each.path[1:]), _assumed_value(each), each.source, purposes)
    out.print(made)


def _assumed_value(assumption: Assumption) -> str:
    value = assumption.value
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, bool):
        return label("show.yes") if value else label("show.no")
    if isinstance(value, (int, float)):
        return f"{value:g} {assumption.unit}".strip()
    return "–" if value is None or is_dataclass(value) else str(value)


def print_interchange(interchange: Interchange, *, out: Console) -> None:
    """Which rollers fit where, and which just fail to."""
    out.print(f"[bold]{label('compare_page.interchange')}[/]")
    for line in interchange_lines(interchange):
        print_bullet(line, out=out)


def draws_braille() -> bool:
    """Whether the terminal can show more than ASCII."""
    encoding = (sys.stdout.encoding or "ascii").lower()
    return "utf" in encoding and os.environ.get("TERM") != "dumb"
