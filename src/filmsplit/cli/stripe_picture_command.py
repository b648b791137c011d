"""`filmsplit stripe-picture`: how wide a stripe is, from a photo or scan with the scale card in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import ON, RECORDS, daybook
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.actions.stripe_picture import StripePictures

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
@click.option("--record", "where", default="", metavar="CONTACT", help=label("cli_papers.stripe_record"))
@click.option("--temperature", "temperature_c", type=float, help=label("cli_reading.temperature"))
@click.option("--by", "person", default="", help=label("cli_reading.by"))
@ON
@RECORDS
def stripe_picture(  # noqa: PLR0913, PLR0917 - one parameter per option, as click passes them
    pictures: tuple[Path, ...],
    card: Path | None,
    paper: str,
    check_line_mm: float | None,
    overlay: Path | None,
    over: bool,
    as_json: bool,
    **given: Any,
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
    else:
        from filmsplit.cli.stripe_picture_pages import print_stripes

        print_stripes(found)
    if given["where"]:
        _record(found, given)


def _record(found: StripePictures, given: dict[str, Any]) -> None:
    """Ask, and put the widths on record. The question has no answer of its own: somebody has to give one."""
    from filmsplit.actions.readings import Told
    from filmsplit.actions.stripe_picture_record import record_widths, widths_of
    from filmsplit.cli.reading_pages import print_recorded

    widths = widths_of(found)
    asked = label("stripe_record.ask", widths=widths.words, where=given["where"])
    if not click.confirm(asked, default=None, err=True):
        click.echo(label("stripe_record.not-done"), err=True)
        return
    told = Told(kind="stripe", where=given["where"], temperature_c=given["temperature_c"], person=given["person"])
    print_recorded([record_widths(widths, told, book=daybook(given["records"], given["day"]))])
