"""Cures as a person reads them in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.cure_words import cure_row
from filmsplit.actions.cures import HELPS, CuresTold
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label

COLUMNS = ("number", "what", "left", "gain", "ink")


def print_cures(found: CuresTold) -> None:
    """What helps, the best first; what does not, as a number; what cannot be done, with the reason."""
    console().print(f"\n[bold]{label('cure.heading', percent=f'{100 * found.before:.1f}')}[/]")
    helpful = [each for each in found.cures if each.gain >= HELPS]
    if helpful:
        made = table(*((label(f"cure.{name}"), "left" if name == "what" else "right") for name in COLUMNS))
        for each in helpful:
            made.add_row(*cure_row(each))
        console().print(made)
    else:
        click.echo(label("cure.none"))
    if len(found.cures) > len(helpful):
        click.echo(label("cure.worse", count=len(found.cures) - len(helpful)))
    if found.unsettled:
        click.echo(label("cure.unsettled", count=found.unsettled))
    if found.refused:
        click.echo(label("cure.cannot"))
        for refused in found.refused:
            print_bullet(refused.words, out=console())
        click.echo(label("cure.how_to_tell"))
