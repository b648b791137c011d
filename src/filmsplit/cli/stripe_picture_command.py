"""`filmsplit stripe-picture`: how wide a stripe is, from a photo or scan with the scale card in it."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command("stripe-picture", help=label("cli_stripe_picture.command"))
@click.argument("pictures", nargs=-1, type=_FILE, metavar="[PICTURE]...")
@click.option("--card", type=_FILE, help=label("cli_stripe_picture.card"))
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help=label("cli_stripe_picture.paper"),
)
@click.option("--check-line-mm", type=float, help=label("cli_stripe_picture.check_line"))
@click.option("--overlay", type=_FILE, help=label("cli_stripe_picture.overlay"))
@click.option("--over", is_flag=True, help=label("cli.over"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def stripe_picture(  # noqa: PLR0913, PLR0917 - one parameter per option, as click passes them
    pictures: tuple[Path, ...],
    card: Path | None,
    paper: str,
    check_line_mm: float | None,
    overlay: Path | None,
    over: bool,
    as_json: bool,
) -> None:
    """Write the card, or read pictures and print the widths."""
    from filmsplit.actions.stripe_picture import KIND, read_pictures, write_card

    if card is not None:
        write_card(card, paper=paper, over=over)
        click.echo(label("cli.written", file=card), err=True)
        if not pictures:
            return
    found = read_pictures(pictures, check_line_mm=check_line_mm, overlay=overlay, over=over)
    if overlay is not None:
        click.echo(label("cli.written", file=overlay), err=True)
    if as_json:
        from filmsplit.actions.answers import plain, to_json

        parts = plain(found)
        assert isinstance(parts, dict)
        click.echo(to_json(KIND, **parts))
        return
    from filmsplit.cli.stripe_picture_pages import print_stripes

    print_stripes(found)
