"""`filmsplit press learn`: what the log has taught of a press."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.cli.job_words import RECORDS
from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_MOST = 20


@click.command("learn", help=label("cli.press_learn"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", default="", help=label("cli.learn_unit"))
@click.option("--most", type=click.IntRange(1), default=_MOST, help=label("cli.learn_most", most=_MOST))
@click.option("--status", default="", help=label("cli.learn_status"))
@click.option("--polarised/--unpolarised", default=None, help=label("cli.learn_polarised"))
@click.option("--backing", default="", help=label("cli.learn_backing"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
@RECORDS
def learn(
    reference: str, records: Path | None, *, unit: str, most: int, as_json: bool, **way: str | bool | None
) -> None:
    """Print what was learned, unit by unit."""
    from filmsplit.actions.answers import to_json
    from filmsplit.actions.density_ways import Way
    from filmsplit.actions.learning import KIND, Choice, learn_press
    from filmsplit.cli.job_pages import records_file
    from filmsplit.cli.learn_pages import print_learned

    asked = Way(**way) if any(value not in (None, "") for value in way.values()) else None  # type: ignore[arg-type]
    found = learn_press(reference, records_file(records), unit=unit, choice=Choice(way=asked, most=most))
    if as_json:
        click.echo(to_json(KIND, units=found))
        return
    print_learned(found)
