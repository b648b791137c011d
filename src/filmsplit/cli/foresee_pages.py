"""A sheet foreseen, as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.foresee import MOST_SHOWN, ForeseenAnswer, InkForeseen
from filmsplit.actions.foresee_words import cause_words, place_words, remarks_of, strength_words
from filmsplit.cli.cures_pages import print_cures
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label


def print_foreseen(found: ForeseenAnswer) -> None:
    """Ink by ink: its ghosts, the strongest first, then areas that fall off or starve."""
    invented = f"  ({label('show.invented')})" if found.invented else ""
    console().print(f"[bold]{found.title or found.press}[/]{invented}")
    key = "foresee.visible_invented" if found.visible_invented else "foresee.visible"
    click.echo(label(key, percent=f"{100 * found.visible:g}"))
    for ink in found.inks:
        _print_ink(ink)
    if found.cures is not None:
        print_cures(found.cures)


def _print_ink(ink: InkForeseen) -> None:
    console().print(f"\n[bold]{label('foresee.ink', ink=ink.ink, unit=ink.unit)}[/]")
    for note in ink.notes:
        click.echo(problem_text(note))
    if not ink.settled:
        return
    if ink.ghosts:
        _print_ghosts(ink)
    elif ink.areas:
        strongest = max(abs(each.strongest) for each in ink.areas)
        click.echo(label("foresee.no_ghost", count=len(ink.areas), percent=f"{100 * strongest:.1f}"))
    else:
        click.echo(label("foresee.no_area"))
    for words in remarks_of(ink):
        print_bullet(words, out=console())


def _print_ghosts(ink: InkForeseen) -> None:
    names = ("number", "strength", "place", "cause")
    made = table(*((label(f"foresee.{name}"), "right" if name in ("number", "strength") else "left") for name in names))
    for ghost in ink.ghosts[:MOST_SHOWN]:
        made.add_row(str(ghost.number), strength_words(ghost), place_words(ghost.at), cause_words(ghost))
    console().print(made)
    if len(ink.ghosts) > MOST_SHOWN:
        click.echo(label("foresee.more", count=len(ink.ghosts) - MOST_SHOWN))
