"""`filmsplit stripe`: stripe, engagement, load and pressure of a contact, one from another."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.stripe import StripeAsked, StripeTold

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_KNOWN = {"stripe_mm": "stripe_mm", "engagement_mm": "engagement_mm", "load": "load_n_per_mm", "peak": "peak_mpa"}
"""Options of which one is given, and the quantity each stands for."""
_TYPED = ("roller_mm", "partner_mm", "cover_mm", "partner_cover_mm", "partner_hardness")


@click.command(help=label("cli.stripe"))
@click.argument("reference", metavar="[PRESS]", required=False)
@click.argument("contact", metavar="[A/B]", required=False)
@click.option("--unit", help=label("cli.unit"))
@click.option("--stripe-mm", type=float, help=label("cli.stripe_stripe"))
@click.option("--engagement-mm", type=float, help=label("cli.stripe_engagement"))
@click.option("--load", type=float, help=label("cli.stripe_load"))
@click.option("--peak", type=float, help=label("cli.stripe_peak"))
@click.option("--roller-mm", type=float, help=label("cli.stripe_roller"))
@click.option("--partner-mm", type=float, help=label("cli.stripe_partner"))
@click.option("--cover-mm", type=float, help=label("cli.stripe_cover"))
@click.option("--partner-cover-mm", type=float, help=label("cli.stripe_partner_cover"))
@click.option("--partner-hardness", type=float, help=label("cli.stripe_partner_hardness"))
@click.option("--hardness", "hardnesses", type=float, multiple=True, help=label("cli.stripe_hardness"))
@click.option("--temperature-c", type=float, help=label("cli.stripe_temperature"))
@click.option("--set-at-c", type=float, default=20.0, show_default=True, help=label("cli.stripe_set_at"))
@click.option("--run-out-mm", type=float, help=label("cli.stripe_run_out"))
@click.option(
    "--correlation",
    type=click.Choice(["gent", "ruess"]),
    default="gent",
    show_default=True,
    help=label("cli.stripe_correlation"),
)
@click.option("--draw", "picture", type=click.Path(path_type=Path), help=label("cli.stripe_draw"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def stripe(picture: Path | None, as_json: bool, **options: Any) -> None:
    """Answer for a contact of a press, or for two rollers typed in numbers."""
    told = _of_press(options) if options["reference"] is not None else _of_typed(options)
    if picture is not None:
        from filmsplit.actions.stripe import draw_stripe_to

        draw_stripe_to(told, picture)
        click.echo(label("cli.written", file=picture), err=True)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("stripe 1", contact=told.contact, answer=told.answer, notes=told.notes))
        return
    from filmsplit.cli.stripe_pages import print_stripe

    print_stripe(told)


def _of_press(options: dict[str, Any]) -> StripeTold:
    from filmsplit.actions.stripe import stripe_of_contact

    typed = [name for name in _TYPED if options[name] is not None]
    if typed:
        raise Refusal(Problem("stripe-press-and-numbers", {"options": _as_options(typed)}))
    if options["contact"] is None:
        raise Refusal(Problem("stripe-contact-not-named", {"press": options["reference"]}))
    asked = _asked(options, options["hardnesses"])
    return stripe_of_contact(options["reference"], options["contact"], asked, unit=options["unit"])


def _of_typed(options: dict[str, Any]) -> StripeTold:
    from filmsplit.actions.stripe import TypedRollers, stripe_of_typed

    lacking = [name for name in ("roller_mm", "partner_mm", "cover_mm") if options[name] is None]
    if not options["hardnesses"]:
        lacking.append("hardness")
    if lacking:
        raise Refusal(Problem("stripe-numbers-lacking", {"options": _as_options(lacking)}))
    own, *others = options["hardnesses"]
    rollers = TypedRollers(
        roller_mm=options["roller_mm"],
        partner_mm=options["partner_mm"],
        cover_mm=options["cover_mm"],
        hardness_shore_a=own,
        partner_cover_mm=options["partner_cover_mm"],
        partner_hardness_shore_a=options["partner_hardness"],
    )
    return stripe_of_typed(rollers, _asked(options, tuple(others)))


def _asked(options: dict[str, Any], hardnesses: tuple[float, ...]) -> StripeAsked:
    from filmsplit.actions.stripe import StripeAsked
    from filmsplit.contact.hardness import Correlation
    from filmsplit.contact.nip import Known

    given = [name for name in _KNOWN if options[name] is not None]
    if len(given) > 1:
        raise Refusal(Problem("stripe-several-known", {"options": _as_options(given)}))
    return StripeAsked(
        known=Known(_KNOWN[given[0]]) if given else None,
        value=options[given[0]] if given else 0.0,
        hardnesses=hardnesses,
        set_at_c=options["set_at_c"],
        temperature_c=options["temperature_c"],
        run_out_mm=options["run_out_mm"],
        correlation=Correlation(options["correlation"]),
    )


def _as_options(names: list[str]) -> str:
    return ", ".join("--" + name.replace("_", "-") for name in names)
