"""`filmsplit film`: where the ink is."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from filmsplit.messages import label

if TYPE_CHECKING:
    from typing import Unpack

    from filmsplit.cli.film_words import FilmWords

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

NOT_SETTLED = 4
"""Exit code of an answer in which a unit did not settle."""

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command(help=label("cli_film.film"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", help=label("cli_film.unit"))
@click.option("--coverage", metavar="PERCENT[,...]", help=label("cli_film.coverage"))
@click.option("--sheet", metavar="LENGTHxWIDTH", help=label("cli_film.sheet"))
@click.option("--keys-um", metavar="UM[,...]", help=label("cli_film.keys"))
@click.option("--aim", type=float, metavar="UM", help=label("cli_film.aim"))
@click.option("--sweep", type=float, metavar="MM", help=label("cli_film.sweep"))
@click.option("--ink", help=label("cli_film.ink"))
@click.option("--ink-density", type=float, metavar="G/CM3", help=label("cli_film.density"))
@click.option("--tau", type=float, metavar="SHARE", help=label("cli_film.tau"))
@click.option("--ink-transfer", metavar="K,B,F", help=label("cli_film.transfer"))
@click.option(
    "--mode",
    type=click.Choice(["print", "no-sheet", "forms-off"]),
    default="print",
    show_default=True,
    help=label("cli_film.mode"),
)
@click.option("--thrown-off", multiple=True, metavar="ID", help=label("cli_film.thrown_off"))
@click.option("--round", "round_mm", type=float, metavar="MM", help=label("cli_film.round"))
@click.option("--across", "across_mm", type=float, metavar="MM", help=label("cli_film.across"))
@click.option(
    "--accuracy", type=float, default=0.1, show_default=True, metavar="PERCENT", help=label("cli_film.accuracy")
)
@click.option("--drawing", is_flag=True, help=label("cli_film.drawing"))
@click.option("--draw", type=_FILE, help=label("cli_film.draw"))
@click.option("--map", "map_", type=_FILE, help=label("cli_film.map"))
@click.option("--profile", type=_FILE, help=label("cli_film.profile"))
@click.option("--start-up", type=_FILE, help=label("cli_film.start_up"))
@click.option("--over", is_flag=True, help=label("cli.over"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def film(reference: str, **words: Unpack[FilmWords]) -> None:
    """Print where the ink is; leave with code 4 where it did not settle."""
    from filmsplit.actions.film import KIND
    from filmsplit.actions.film_pictures import write_pictures
    from filmsplit.cli.film_ask import ask, targets_of

    filmed = ask(reference, words)
    written = write_pictures(filmed, targets_of(words), over=words["over"])
    for path in written.files:
        click.echo(label("cli.written", file=path), err=True)
    for path in written.empty:
        click.echo(label("cli_film.not_drawn", file=path), err=True)
    if words["as_json"]:
        from filmsplit.actions.answers import plain, to_json

        parts = plain(filmed.answer)
        assert isinstance(parts, dict)
        click.echo(to_json(KIND, **parts))
    else:
        from filmsplit.cli.film_pages import print_films

        print_films(filmed, drawing=words["drawing"])
    if not filmed.settled:
        sys.exit(NOT_SETTLED)
