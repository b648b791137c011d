"""`filmsplit packing`: what another plate, blanket or packing does."""

from __future__ import annotations

import sys

import click

from filmsplit.messages import Problem, Refusal, label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_REFUSED = 2


@click.command(help=label("cli.packing"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", help=label("cli.unit"))
@click.option("--plate-mm", type=float, help=label("cli.packing_plate"))
@click.option("--plate-packing-mm", type=float, help=label("cli.packing_plate_packing"))
@click.option("--blanket-mm", type=float, help=label("cli.packing_blanket"))
@click.option("--blanket-packing-mm", type=float, help=label("cli.packing_blanket_packing"))
@click.option("--stripe", "stripes", multiple=True, metavar="ROLLER=MM", help=label("cli.packing_stripe"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def packing(reference: str, unit: str | None, stripes: tuple[str, ...], as_json: bool, **sizes: float | None) -> None:
    """Say what the change does; leave with code 2 where it should not be made as it is."""
    from filmsplit.actions.packing import change_packing

    changes = {name: size for name, size in sizes.items() if size is not None}
    told = change_packing(reference, changes, stripes_mm=_read(stripes), unit=unit)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("packing 1", allowed=told.answer.allowed, answer=told.answer))
    else:
        from filmsplit.cli.packing_pages import print_packing

        print_packing(told)
    if not told.answer.allowed:
        sys.exit(_REFUSED)


def _read(stripes: tuple[str, ...]) -> dict[str, float]:
    """Stripes as typed, ``F1=3.8``; every one that is not understood is named at once."""
    from filmsplit.units import parse_length_mm

    read: dict[str, float] = {}
    problems: list[Problem] = []
    for word in stripes:
        roller, equals, width = word.partition("=")
        if not equals or roller in read:
            problems.append(Problem("stripe-not-understood", {"text": word}))
            continue
        try:
            read[roller] = parse_length_mm(width)
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return read
