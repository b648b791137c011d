"""What `press show` prints, and which rollers interchange."""

from __future__ import annotations

import os
import sys
import textwrap
from dataclasses import is_dataclass
from enum import Enum

from rich.console import Console

from filmsplit.actions.press import PressShown
from filmsplit.actions.train import sketch
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, print_unknowns, show_facts, table
from filmsplit.messages import label
from filmsplit.press import Assumption, Press
from filmsplit.press.fits import Difference
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


def draws_braille() -> bool:
    """Whether the terminal can show more than ASCII."""
    encoding = (sys.stdout.encoding or "ascii").lower()
    return "utf" in encoding and os.environ.get("TERM") != "dumb"
