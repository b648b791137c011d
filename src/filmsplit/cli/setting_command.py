"""`filmsplit setting`: in which order rollers are set, and from their stripes what to turn."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, ON, PAPER, RECORDS, daybook
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.condition.stripe_shape import StripeRead

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_STRIPE = re.compile(r"(?P<contact>[^=]+)=(?P<widths>\d+(\.\d+)?(/\d+(\.\d+)?)+)@(?P<warmth>-?\d+(\.\d+)?)")


@click.command(help=label("cli_setting.setting"))
@click.argument("reference", metavar="PRESS")
@click.option("--unit", default=None, help=label("cli_setting.unit"))
@click.option("--contact", "contacts", multiple=True, metavar="A/B", help=label("cli_setting.contact"))
@click.option("--stripe", "stripes", multiple=True, metavar="A/B=W/W/W@T", help=label("cli_setting.stripe"))
@click.option("--cold", "cold_c", type=float, default=20.0, show_default=True, help=label("cli_setting.cold"))
@click.option("--warm", "warm_c", type=float, default=35.0, show_default=True, help=label("cli_setting.warm"))
@click.option("--target-at", "target_c", type=float, default=35.0, show_default=True, help=label("cli_setting.target"))
@click.option("--turned", is_flag=True, help=label("cli_setting.turned"))
@click.option("--by", "person", default="", help=label("cli_reading.by"))
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_setting.to"))
@PAPER
@click.option("--over", is_flag=True, help=label("cli.over"))
@click.option(
    "--limits", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_care.limits")
)
@ON
@JSON
@RECORDS
def setting(reference: str, *, as_json: bool, turned: bool, person: str, **given: Any) -> None:
    """The plan of a press, what to turn, and on request its paper or its record."""
    from filmsplit.actions.setting import SettingAsked, plan_setting, record_turned
    from filmsplit.condition.setting_targets import Temperatures

    if turned and not person:
        raise Refusal(Problem("setting-done-by-nobody"))
    asked = SettingAsked(
        unit=given["unit"],
        contacts=given["contacts"],
        stripes=dict(map(_stripe, given["stripes"])),
        temperatures=Temperatures(cold_c=given["cold_c"], warm_c=given["warm_c"], target_holds_c=given["target_c"]),
        limits=given["limits"],
    )
    book = daybook(given["records"], given["day"])
    found = plan_setting(reference, asked, book=book)
    if given["to"]:
        from filmsplit.actions.setting_paper import write_setting
        from filmsplit.reports.typeset import Paper

        write_setting(reference, found, to=given["to"], paper=Paper(given["size"]), over=given["over"])
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("setting 1", setting=found))
    else:
        from filmsplit.cli.setting_pages import print_setting

        print_setting(found)
    if turned:
        done = record_turned(reference, found, person=person, book=book)
        click.echo(label("setting_page.recorded", count=len(done)), err=as_json)


def _stripe(text: str) -> tuple[str, StripeRead]:
    from filmsplit.condition.stripe_shape import StripeRead

    typed = _STRIPE.fullmatch(text.replace(" ", ""))
    if typed is None:
        raise Refusal(Problem("setting-stripe-mistyped", {"text": text}))
    widths = tuple(map(float, typed["widths"].split("/")))
    return typed["contact"], StripeRead(widths_mm=widths, temperature_c=float(typed["warmth"]))
