"""What the commands about the shop's records share: which file, which day."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.register import Daybook

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

RECORDS = click.option("--records", type=click.Path(path_type=Path, dir_okay=False), help=label("cli.job_records"))
ON = click.option("--on", "day", default="", metavar="DAY", help=label("cli.record_on"))
PAPER = click.option(
    "--paper",
    "size",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help=label("cli_roller.paper"),
)
LIMITS = click.option(
    "--limits", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help=label("cli_care.limits")
)
JSON = click.option("--json", "as_json", is_flag=True, help=label("cli.json"))


def daybook(records: Path | None, day: str) -> Daybook:
    """The records meant, and the day."""
    from filmsplit.actions.register import Daybook
    from filmsplit.cli.job_pages import records_file

    return Daybook(records_file(records), day_of(day))


def day_of(text: str) -> date:
    """The day that was typed, not after today; today where nothing was."""
    from filmsplit.actions.jobs import today

    now = today()
    try:
        day = date.fromisoformat(text) if text else now
    except ValueError as error:
        raise Refusal(Problem("day-unknown", {"given": text})) from error
    if day > now:
        raise Refusal(Problem("day-ahead", {"day": day.isoformat(), "today": now.isoformat()}))
    return day


def future_day(text: str) -> date | None:
    """A day that may be still to come; ``None`` where nothing was typed."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise Refusal(Problem("day-unknown", {"given": text})) from error
