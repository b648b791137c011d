"""`filmsplit press …`: describe a press, see it, check it, compare it, draw it."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.group(help=label("cli.press"))
def press() -> None:
    """Commands about one press or several."""


@press.command(help=label("cli.press_show"))
@click.argument("reference", metavar="PRESS")
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
@click.option("--drawing/--no-drawing", default=True, help=label("cli.drawing"))
@click.option("--assumed", is_flag=True, help=label("cli.assumed"))
def show(reference: str, as_json: bool, drawing: bool, assumed: bool) -> None:
    """Print a press and its facts."""
    from filmsplit.actions.press import show_press

    shown = show_press(reference)
    if as_json:
        from filmsplit.actions.answers import to_json

        parts = {"facts": shown.facts, "interchange": shown.interchange, "unknowns": shown.unknowns}
        assumptions, notices = shown.press.assumptions, shown.loaded.notices
        click.echo(to_json("press-facts 1", **parts, assumptions=assumptions, notices=notices))
        return
    from filmsplit.cli.press_pages import print_press

    print_press(shown, drawing=drawing, assumed=assumed)


@press.command(help=label("cli.press_check"))
@click.argument("references", metavar="PRESS...", nargs=-1, required=True)
def check(references: tuple[str, ...]) -> None:
    """Look each press file over; leave with code 1 if any cannot be used."""
    from filmsplit.actions.press import check_presses
    from filmsplit.cli.problems import echo_problems

    results = check_presses(references)
    for result in results:
        verdict = "cli.check_refused" if result.refused else "cli.check_good"
        click.echo(label(verdict, press=result.reference, count=len(result.problems)))
        echo_problems(result.problems)
    sys.exit(1 if any(result.refused for result in results) else 0)


@press.command(help=label("cli.press_compare"))
@click.argument("references", metavar="PRESS...", nargs=-1, required=True)
@click.option("--ink/--no-ink", default=True, help=label("cli.compare_ink"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def compare(references: tuple[str, ...], ink: bool, as_json: bool) -> None:
    """Print presses side by side, what their counts stand for, and which of their rollers interchange."""
    from filmsplit.actions.compare import compare_presses
    from filmsplit.cli.film_progress import Watching

    with Watching() as watching:

        def tell(name: str, part: float) -> None:
            watching.show(label("cli.comparing", press=name), part=part)

        compared = compare_presses(references, ink=ink, told=tell)
    if as_json:
        from filmsplit.actions.answers import to_json

        parts = {"comparison": compared.comparison, "interchange": compared.interchange}
        click.echo(to_json("press-comparison 1", **parts, characters=compared.characters))
        return
    from filmsplit.cli.compare_pages import print_comparison

    print_comparison(compared)


@press.command(help=label("cli.press_draw"))
@click.argument("reference", metavar="PRESS")
@click.option("--to", "target", type=click.Path(path_type=Path), required=True, help=label("cli.draw_to"))
@click.option("--tells", default="everything", show_default=True, metavar="WHAT", help=label("cli.draw_tells"))
@click.option("--width-px", type=click.IntRange(200, 8000), help=label("cli.width_px"))
@click.option("--over", is_flag=True, help=label("cli.over"))
def draw(reference: str, target: Path, tells: str, width_px: int | None, over: bool) -> None:
    """Write the drawing of a press as SVG or PNG."""
    from filmsplit.actions.draw import draw_press

    draw_press(reference, target, tells=tells, width_px=width_px, over=over)
    click.echo(label("cli.written", file=target))
