"""`filmsplit run-down`: plan the run-down test, and read it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.run_down import RunDownAsked

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_FILE = click.Path(path_type=Path, dir_okay=False)
_LIST = "A,B,…"


@click.command("run-down", help=label("cli_run_down.command"))
@click.argument("reference", metavar="PRESS")
@click.option("--readings", type=_FILE, help=label("cli_run_down.readings"))
@click.option("--unit", help=label("cli_run_down.unit"))
@click.option("--zone", type=int, help=label("cli_run_down.zone"))
@click.option("--sheets", type=int, help=label("cli_run_down.sheets"))
@click.option("--together", is_flag=True, help=label("cli_run_down.together"))
@click.option("--coverage", metavar=_LIST, default="", help=label("cli_run_down.coverage"))
@click.option("--keys", metavar=_LIST, default="", help=label("cli_run_down.keys"))
@click.option("--sweep", type=float, metavar="READING", help=label("cli_run_down.sweep"))
@click.option("--sheet", metavar="LENGTHxWIDTH", default="", help=label("cli_run_down.sheet"))
@click.option("--ink", default="", help=label("cli_run_down.ink"))
@click.option("--constants", metavar="D,M2/G", default="", help=label("cli_run_down.constants"))
@click.option("--reading-error", type=float, metavar="D", help=label("cli_run_down.reading_error"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def run_down(reference: str, readings: Path | None, as_json: bool, **words: Any) -> None:
    """Print the plan, or what the readings told."""
    from filmsplit.actions.run_down import KIND, ask_run_down

    answer = ask_run_down(reference, _asked(words), readings=readings)
    if as_json:
        from filmsplit.actions.answers import plain, to_json

        parts = plain(answer)
        assert isinstance(parts, dict)
        click.echo(to_json(KIND, **parts))
        return
    from filmsplit.cli.run_down_pages import print_run_down

    print_run_down(answer)


def _asked(words: dict[str, Any]) -> RunDownAsked:
    """The options read."""
    from filmsplit.actions.run_down import RunDownAsked
    from filmsplit.cli.job_words import numbers

    error = {} if words["reading_error"] is None else {"reading_error": words["reading_error"]}
    return RunDownAsked(
        unit=words["unit"],
        zone=words["zone"],
        sheets=words["sheets"],
        singly=not words["together"],
        coverage_percent=numbers("coverage", words["coverage"]),
        keys=numbers("keys", words["keys"]),
        sweep=words["sweep"],
        sheet_mm=_sheet(words["sheet"]),
        ink=words["ink"],
        constants=_constants(words["constants"]),
        **error,
    )


def _sheet(text: str) -> tuple[float, float] | None:
    from filmsplit.cli.readings import read_sheet_mm

    if not text:
        return None
    try:
        return read_sheet_mm(text)
    except ValueError as error:
        raise Refusal(Problem("job-sheet-size", {"given": text})) from error


def _constants(text: str) -> tuple[float, float] | None:
    if not text:
        return None
    try:
        saturation, rate = (float(part) for part in text.split(","))
    except ValueError as error:
        values = {"option": "--constants", "text": text, "example": label("setup_example.constants")}
        raise Refusal(Problem("setup-words-not-understood", values)) from error
    return saturation, rate
