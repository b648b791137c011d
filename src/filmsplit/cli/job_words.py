"""What is typed about a job after `filmsplit job`: options shared by its commands, and how they are read."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from filmsplit.actions.jobs import Told
    from filmsplit.records.jobs import JobRecord

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

Value = TypeVar("Value")

FILE = click.Path(path_type=Path, dir_okay=False)
RECORDS = click.option("--records", type=FILE, help=label("cli.job_records"))
NOT_READ = "-"
"""Stands for the density of a zone that was not read."""

_TEXTS = ("ink", "stock", "operator", "remarks")
_COUNTS = ("sheets", "sheets-to-ok", "waste-sheets")
_LISTS = ("keys", "coverage", "densities")


def job_options(command: Any) -> Any:
    """What is kept of a job besides what is measured."""
    for name in _TEXTS:
        command = click.option(f"--{name}", default="", help=_help(name))(command)
    for name in _COUNTS:
        command = click.option(f"--{name}", type=int, help=_help(name))(command)
    return click.option("--water", type=float, help=label("cli.job_water"))(command)


def sheet_options(command: Any) -> Any:
    """A measured sheet, the keys it was printed with, and the aim."""
    for name in _LISTS:
        command = click.option(f"--{name}", metavar="A,B,…", default="", help=_help(name))(command)
    for name in ("sweep", "aim-density", "saturation", "rate"):
        command = click.option(f"--{name}", type=float, help=_help(name))(command)
    for name in ("status", "backing", "aim-status", "aim-backing"):
        command = click.option(f"--{name}", default="", help=_help(name))(command)
    for name, flags in (("polarised", "unpolarised"), ("aim-polarised", "aim-unpolarised")):
        command = click.option(f"--{name}/--{flags}", default=None, help=_help(name))(command)
    command = click.option("--readings", type=FILE, help=label("cli.job_readings"))(command)
    command = click.option("--read-sheet", type=click.IntRange(1), help=label("cli.job_read_sheet"))(command)
    return click.option("--sheet", metavar="LENGTHxWIDTH", default="", help=label("cli.job_sheet"))(command)


def _help(name: str) -> str:
    return label(f"cli.job_{name.replace('-', '_')}")


def told_in(given: dict[str, Any]) -> Told:
    """The measured sheet among the options, taken out of them."""
    from filmsplit.actions.jobs import Told

    return Told(
        keys=numbers("keys", given.pop("keys")),
        coverage_percent=numbers("coverage", given.pop("coverage")),
        densities=_densities(given.pop("densities")),
        readings_file=given.pop("readings"),
        sheet=given.pop("read_sheet"),
        **{name: given.pop(name) for name in ("status", "polarised", "backing")},
    )


def facts_in(given: dict[str, Any]) -> dict[str, Any]:
    """What else is kept of a job, under the names of its record; only what somebody said."""
    from filmsplit.cli.readings import read_sheet_mm

    size = given.pop("sheet")
    if size:
        given["sheet_length_mm"], given["sheet_width_mm"] = _parsed(read_sheet_mm, size, slug="job-sheet-size")
    given["rate_per_um"] = given.pop("rate")
    return {name: value for name, value in given.items() if value not in (None, "")}


def record_of(title: str, facts: dict[str, Any], *, day: str = "") -> JobRecord:
    """The record without what only the press can tell."""
    from filmsplit.actions.jobs import today
    from filmsplit.records.jobs import JobRecord

    printed_on = _parsed(date.fromisoformat, day, slug="job-day-unknown") if day else today()
    return JobRecord(title=title, printed_on=printed_on, **{"press": "", "unit": ""} | facts)


def numbers(option: str, text: str) -> tuple[float, ...]:
    """The numbers of a list with commas."""
    return tuple(_number(option, word, text=text) for word in text.split(",")) if text else ()


def _densities(text: str) -> tuple[float | None, ...]:
    words = text.split(",") if text else []
    return tuple(None if word.strip() == NOT_READ else _number("densities", word, text=text) for word in words)


def _number(option: str, word: str, *, text: str) -> float:
    try:
        return float(word)
    except ValueError as error:
        raise Refusal(Problem("job-list-not-numbers", {"option": f"--{option}", "given": text})) from error


def _parsed(read: Callable[[str], Value], text: str, *, slug: str) -> Value:
    try:
        return read(text)
    except ValueError as error:
        raise Refusal(Problem(slug, {"given": text})) from error
