"""`filmsplit roller`: the register of rollers."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from filmsplit.cli.record_options import JSON, LIMITS, ON, PAPER, RECORDS, day_of, daybook
from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

COMPOUNDS = (
    "steel",
    "copper",
    "chrome",
    "nylon",
    "ebonite",
    "ceramic",
    "nitrile rubber",
    "nitrile-PVC rubber",
    "polyurethane",
    "EPDM rubber",
    "rubber",
    "cloth sleeve",
)
"""The materials of `press.words`, so that help need not load it; a test holds them together."""


@click.group(help=label("cli_roller.roller"))
def roller() -> None:
    """Commands about the register of rollers."""


@roller.command(help=label("cli_roller.register"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", help=label("cli.unit"))
@ON
@RECORDS
def register(reference: str, unit: str | None, day: str, records: Path | None) -> None:
    """Put every roller of a press on the register."""
    from filmsplit.actions.register import register as register_press
    from filmsplit.cli.roller_pages import print_registered

    print_registered(register_press(reference, book=daybook(records, day), unit=unit))


@roller.command(help=label("cli_roller.add"))
@click.argument("mark")
@click.option("--fact", "facts", multiple=True, metavar="NAME=VALUE", help=label("cli_roller.fact"))
@click.option("--note", default="", help=label("cli_roller.note"))
@ON
@RECORDS
def add(mark: str, facts: tuple[str, ...], note: str, day: str, records: Path | None) -> None:
    """Put one roller on the register, on the shelf."""
    from dataclasses import replace

    from filmsplit.actions.register import add as add_roller
    from filmsplit.actions.roller_facts_told import read_facts
    from filmsplit.records.roller_facts import no_facts

    whole = replace(no_facts(), **read_facts(facts))
    made = add_roller(mark, whole, book=daybook(records, day), note=note)
    click.echo(label("roller.added", mark=made.mark, code=made.code))


@roller.command(help=label("cli_roller.change"))
@click.argument("asked", metavar="ROLLER")
@click.argument("facts", nargs=-1, required=True, metavar="NAME=VALUE...")
@ON
@RECORDS
def change(asked: str, facts: tuple[str, ...], day: str, records: Path | None) -> None:
    """State some facts of a roller anew."""
    from filmsplit.actions.register import change as change_roller
    from filmsplit.actions.roller_facts_told import read_facts

    changed = change_roller(asked, read_facts(facts), book=daybook(records, day))
    click.echo(label("roller.changed", mark=changed.mark, code=changed.code))


@roller.command("list", help=label("cli_roller.list"))
@click.option("--press", default="", help=label("cli_roller.press"))
@ON
@JSON
@RECORDS
def list_rollers(press: str, day: str, as_json: bool, records: Path | None) -> None:
    """List the register."""
    from filmsplit.actions.register import listed
    from filmsplit.cli.roller_pages import print_rollers

    found = listed(book=daybook(records, day), press=press)
    if as_json:
        _print_json("rollers 1", rollers=found)
        return
    print_rollers(found)


@roller.command(help=label("cli_roller.show"))
@click.argument("asked", metavar="ROLLER")
@JSON
@RECORDS
def show(asked: str, as_json: bool, records: Path | None) -> None:
    """Show everything on record about one roller."""
    from filmsplit.actions.register import page
    from filmsplit.cli.roller_pages import print_page

    found = page(asked, book=daybook(records, ""))
    if as_json:
        _print_json("roller 1", page=found)
        return
    print_page(found)


@roller.command(help=label("cli_roller.move"))
@click.argument("asked", metavar="ROLLER")
@click.argument("to", required=False, default="")
@click.option("--swap", is_flag=True, help=label("cli_roller.swap"))
@click.option("--take-back", is_flag=True, help=label("cli_roller.take_back"))
@click.option("--note", default="", help=label("cli_roller.note"))
@ON
@RECORDS
def move(asked: str, to: str, take_back: bool, day: str, records: Path | None, **given: Any) -> None:
    """Move a roller, or take its last move back."""
    from filmsplit.actions.roller_moves import move_roller, take_back_move
    from filmsplit.cli.roller_pages import print_moved

    book = daybook(records, day)
    if take_back:
        print_moved(take_back_move(asked, book=book, reason=given["note"]))
        return
    print_moved(move_roller(asked, to, book=book, **given))


@roller.command(help=label("cli_roller.retire"))
@click.argument("asked", metavar="ROLLER")
@click.option("--reason", required=True, help=label("cli_roller.reason"))
@ON
@RECORDS
def retire(asked: str, reason: str, day: str, records: Path | None) -> None:
    """Take a roller out of use."""
    from filmsplit.actions.roller_moves import retire_roller
    from filmsplit.cli.roller_pages import print_moved

    print_moved((retire_roller(asked, book=daybook(records, day), reason=reason),))


@roller.command(help=label("cli_roller.labels"))
@click.argument("to", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("asked", metavar="[ROLLER]...", nargs=-1)
@click.option("--press", default="", help=label("cli_roller.press"))
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help=label("cli_roller.paper")
)
@click.option("--over", is_flag=True, help=label("cli.over"))
@RECORDS
def labels(to: Path, asked: tuple[str, ...], records: Path | None, **given: Any) -> None:
    """Write labels for rack and box."""
    from filmsplit.actions.roller_labels import LabelsAsked, write_labels
    from filmsplit.reports.typeset import Paper

    wanted = LabelsAsked(rollers=asked, press=given["press"], paper=Paper(given["paper"]))
    count = write_labels(to, wanted, book=daybook(records, ""), over=given["over"])
    click.echo(label("cli_roller.labelled", count=count, file=to))


@roller.command(help=label("cli_papers.card"))
@click.argument("asked", metavar="[ROLLER]...", nargs=-1)
@click.option("--press", default="", help=label("cli_roller.press"))
@click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    metavar="FILE",
    help=label("cli_papers.card_to"),
)
@LIMITS
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@RECORDS
def card(to: Path, asked: tuple[str, ...], records: Path | None, **given: Any) -> None:
    """Write the cards of rollers."""
    from filmsplit.actions.roller_card import write_cards
    from filmsplit.actions.roller_labels import LabelsAsked
    from filmsplit.reports.typeset import Paper

    wanted = LabelsAsked(rollers=asked, press=given["press"], paper=Paper(given["size"]))
    count = write_cards(to, wanted, book=daybook(records, ""), limits=given["limits"], over=given["over"])
    click.echo(label("cli_papers.carded", count=count, file=to))


@roller.command(help=label("cli_papers.accept"))
@click.argument("asked", metavar="ROLLER")
@click.option("--face-mm", type=click.FloatRange(min=0), help=label("cli_papers.accept_face"))
@click.option("--journal-mm", type=click.FloatRange(min=0), help=label("cli_papers.accept_journal"))
@click.option("--compound", default="", type=click.Choice(["", *COMPOUNDS]), help=label("cli_papers.accept_compound"))
@click.option("--made", default="", metavar="DAY", help=label("cli_papers.accept_made"))
@LIMITS
@ON
@JSON
@RECORDS
def accept(asked: str, *, day: str, as_json: bool, records: Path | None, **given: Any) -> None:
    """Judge a roller on arrival."""
    from filmsplit.actions.acceptance import Label, accept_roller
    from filmsplit.cli.roller_pages import print_arrival
    from filmsplit.press.words import Material

    seen = Label(
        face_mm=given["face_mm"],
        journal_mm=given["journal_mm"],
        compound=Material(given["compound"]) if given["compound"] else None,
        made_on=day_of(given["made"]) if given["made"] else None,
    )
    found = accept_roller(asked, seen=seen, book=daybook(records, day), limits=given["limits"])
    if as_json:
        _print_json("roller-arrival 1", arrival=found)
        return
    print_arrival(found)


def _print_json(kind: str, **parts: object) -> None:
    from filmsplit.actions.answers import to_json

    click.echo(to_json(kind, **parts))
