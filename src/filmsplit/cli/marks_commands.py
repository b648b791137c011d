"""`filmsplit marks` and `filmsplit repeats`: from a ruler on the sheet to the roller, and back."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli.marks"))
@click.argument("reference", metavar="PRESS")
@click.argument("distances", nargs=-1, required=True)
@click.option("--unit", help=label("cli.unit"))
@click.option("--reading-sd-mm", type=float, default=0.5, show_default=True, help=label("cli.reading_sd"))
@click.option("--sheet-length-mm", type=float, help=label("cli.sheet_length"))
@click.option("--draw", "picture", type=click.Path(path_type=Path), help=label("cli.draw_marks"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def marks(  # noqa: PLR0913, PLR0917 - one parameter per option, as click passes them
    reference: str,
    distances: tuple[str, ...],
    unit: str | None,
    reading_sd_mm: float,
    sheet_length_mm: float | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Rank the parts of a press that may have left marks at these distances."""
    from filmsplit.actions.marks import match
    from filmsplit.cli.readings import read_distances

    readings = read_distances(distances)
    press, found = match(reference, readings, unit=unit, reading_sd_mm=reading_sd_mm, sheet_length_mm=sheet_length_mm)
    if picture is not None:
        from filmsplit.actions.draw import draw_match

        draw_match(press, found, picture, sheet_length_mm=sheet_length_mm)
        click.echo(label("cli.written", file=picture), err=True)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("mark-match 1", match=found))
        return
    from filmsplit.cli.marks_pages import print_match

    print_match(press, found)


@click.command(help=label("cli.repeats"))
@click.argument("reference", metavar="PRESS")
@click.argument("member")
@click.option("--first", "first", default="0", show_default=True, metavar="DISTANCE", help=label("cli.first"))
@click.option("--sheets", default=3, show_default=True, type=click.IntRange(1, 50), help=label("cli.sheets"))
@click.option("--unit", help=label("cli.unit"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def repeats(  # noqa: PLR0913, PLR0917 - one parameter per option, as click passes them
    reference: str, member: str, first: str, sheets: int, unit: str | None, as_json: bool
) -> None:
    """Say where a mark of one member falls, sheet by sheet."""
    from filmsplit.actions.marks import places
    from filmsplit.units import parse_length_mm

    found = places(reference, member, first_mm=parse_length_mm(first), sheets=sheets, unit=unit)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("mark-places 1", places=found))
        return
    from filmsplit.cli.marks_pages import print_places

    print_places(found)
