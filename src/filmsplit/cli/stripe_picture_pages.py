"""Widths read from pictures, in a terminal."""

from __future__ import annotations

from rich.console import Console

from filmsplit.actions.stripe_picture import StripeInFile, StripePictures, place_words
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import label

_LOOK_AT_BARE = 0.05
"""From this share on bare spots are worth a word: less is grain of paper (this project's own)."""


def print_stripes(found: StripePictures) -> None:
    """Every card with its table, then what they say together and what could not be read."""
    out = console()
    for each in found.read:
        _print_card(each, out=out)
    if found.end_to_end:
        ends = found.end_to_end
        said = label("stripe_page.wider", mm=f"{ends.wider_at_gear_mm:+.2f} ± {ends.uncertainty_mm:.2f}")
        out.print(name_line(label("stripe_page.end_to_end"), said))
    for unread in found.unread:
        print_bullet(f"{unread.file}: {unread.problem.what} {unread.problem.remedy}", out=out)
    if found.check_line_mm is None:
        print_bullet(label("stripe_page.no_check_line"), out=out)
    print_bullet(label("stripe_page.ink"), out=out)


def _print_card(each: StripeInFile, *, out: Console) -> None:
    stripe, shape, quality = each.stripe, each.stripe.shape, each.stripe.quality
    out.print(f"\n[bold]{place_words(stripe.place)}[/]  {each.file}")
    made = table(
        (label("stripe_page.along"), "right"),
        (label("stripe_page.width"), "right"),
        (label("stripe_page.uncertainty"), "right"),
        (label("stripe_page.ramp"), "right"),
        (label("stripe_page.bare"), "right"),
    )
    for s in stripe.stations:
        figures = (f"{s.along_mm:.0f}", f"{s.width_mm:.2f}", f"± {s.uncertainty_mm:.2f}", f"{s.ramp_mm:.1f}")
        made.add_row(*figures, f"{100 * s.bare_share:.0f} %")
    out.print(made)
    lines = {
        "mean": f"{shape.width_mm:.2f} ± {shape.width_uncertainty_mm:.2f} mm",
        "taper": f"{shape.taper_mm:+.2f} ± {shape.taper_uncertainty_mm:.2f} mm",
        "bulge": f"{shape.bulge_mm:+.2f} mm",
        "bow": f"{shape.bow_mm:+.2f} mm",
        "bare_spots": label("stripe_page.spots", percent=f"{100 * shape.bare_share:.0f}", count=shape.islands),
    }
    for name, value in lines.items():
        out.print(name_line(label(f"stripe_line.{name}"), value))
    if shape.bare_share > _LOOK_AT_BARE:
        print_bullet(label("stripe_page.blotchy"), out=out)
    said = {"px": f"{quality.px_per_mm:.1f}", "blur": f"{quality.blur_mm:.2f}", "off": f"{quality.card_off_mm:.2f}"}
    out.print(name_line(label("stripe_line.picture"), label("stripe_page.quality", **said)))
