"""`filmsplit setup`: keys, sweep, start, ink and water for a job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.messages import label

if TYPE_CHECKING:
    from typing import Unpack

    from filmsplit.cli.setup_words import SetupWords

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_FILE = click.Path(path_type=Path, dir_okay=False)
_FOLDER = click.Path(path_type=Path, file_okay=False)
_JOB: tuple[tuple[str, dict[str, Any]], ...] = (
    ("--title", {"default": ""}),
    ("--stock", {"default": ""}),
    ("--run", {"type": int, "metavar": "SHEETS"}),
    ("--unit", {}),
    ("--inks", {"metavar": "NAME[,...]", "default": ""}),
    ("--pass", {"multiple": True, "metavar": "UNIT=INK[,...]"}),
    ("--aim", {"type": float, "metavar": "UM"}),
    ("--density", {"type": float, "metavar": "D"}),
    ("--constants", {"metavar": "D,M2/G"}),
    ("--tolerance", {"type": float}),
    ("--tau", {"type": float, "metavar": "SHARE", "default": 0.5, "show_default": True}),
    ("--before", {"type": click.Choice(["clean", "stopped"]), "default": "clean", "show_default": True}),
    ("--after", {"metavar": "CODE", "default": ""}),
    ("--sweep", {"type": float, "metavar": "READING"}),
    ("--key-range", {"metavar": "PERCENT-PERCENT"}),
    ("--key-mean", {"metavar": "PERCENT-PERCENT"}),
    ("--least-fill", {"type": float, "metavar": "KG", "default": 0.0}),
    ("--left-over", {"type": float, "metavar": "KG", "default": 0.0}),
    ("--family", {"type": click.Choice(["oil", "ultraviolet", "hybrid"]), "default": "oil", "show_default": True}),
    ("--wash", {"type": click.Choice(["mineral", "vegetable", "radiation", "strong"])}),
    ("--unlearned", {"is_flag": True}),
)
_WORK: tuple[tuple[str, dict[str, Any]], ...] = (
    ("--sheet", {"metavar": "LENGTHxWIDTH"}),
    ("--gripper", {"metavar": "MM"}),
    ("--lead", {"metavar": "MM"}),
    ("--side", {"metavar": "MM"}),
    ("--turn", {"type": click.Choice(["0", "90", "180", "270"]), "default": "0", "show_default": True}),
    ("--mirrored", {"is_flag": True}),
    ("--negative", {"is_flag": True}),
    ("--repeat", {"metavar": "DOWNxACROSS"}),
    ("--step", {"metavar": "DOWNxACROSS"}),
    ("--back", {"type": click.Choice(["turn", "tumble"])}),
    ("--plate-curve", {"metavar": "FILE:PLATE[,...]"}),
    ("--dpi", {"type": float}),
    ("--page", {"type": int}),
    (
        "--box",
        {"type": click.Choice(["media", "crop", "bleed", "trim", "art"]), "default": "crop", "show_default": True},
    ),
    ("--rgb", {"metavar": "own|refuse|FILE.icc", "default": "own", "show_default": True}),
)
_OUT: tuple[tuple[str, dict[str, Any]], ...] = (
    ("--paper", {"type": _FOLDER}),
    ("--letter", {"is_flag": True}),
    ("--unrecorded", {"is_flag": True}),
    ("--xjdf", {"type": _FILE}),
    ("--jdf", {"type": _FILE}),
    ("--csv", {"type": _FILE}),
    ("--records", {"type": _FILE}),
)


def job_options(command: Any) -> Any:
    """All options about the job and where its work lies, in the order in which a person thinks of them."""
    return _with(command, (*_JOB, *_WORK))


def _with(command: Any, options: tuple[tuple[str, dict[str, Any]], ...]) -> Any:
    for name, how in reversed(options):
        word = name.removeprefix("--").replace("-", "_")
        # ``pass`` is a word of Python; the option keeps the trade's.
        command = click.option(name, f"{word}_" if word == "pass" else word, help=label(f"cli_setup.{word}"), **how)(
            command
        )
    return command


def _out_options(command: Any) -> Any:
    """Options about what is written."""
    return _with(command, _OUT)


@click.command(help=label("cli_setup.setup"))
@click.argument("reference", metavar="PRESS")
@click.argument("work", metavar="WORK...", nargs=-1, required=True)
@job_options
@_out_options
@click.option("--over", is_flag=True, help=label("cli.over"))
@click.option("--json", "as_json", is_flag=True, help=label("cli.json"))
def setup(reference: str, work: tuple[str, ...], **words: Unpack[SetupWords]) -> None:
    """Print what to set; write paper and tickets where asked."""
    from filmsplit.actions.setup import KIND
    from filmsplit.actions.setup_files import write_files
    from filmsplit.cli.setup_ask import ask, recorded, targets_of

    found = ask(reference, work, words)
    codes = recorded(found, words)
    for path in write_files(found, targets_of(words), over=words["over"], codes=codes):
        click.echo(label("cli.written", file=path), err=True)
    if words["as_json"]:
        from filmsplit.actions.answers import plain, to_json

        parts = plain(found.answer)
        assert isinstance(parts, dict)
        click.echo(to_json(KIND, **parts))
    else:
        from filmsplit.cli.setup_pages import print_setup

        print_setup(found)
