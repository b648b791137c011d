"""The page of commands: the help of each, as the terminal shows it."""

from __future__ import annotations

from collections.abc import Iterator

import click

from filmsplit.cli.main import filmsplit

_INTRO = """\
# Commands

The help of every command, as `--help` shows it. This page is written by `python3 dev.py docs`.
"""
_WIDTH = 100


def commands_page(_: str) -> str:
    """A heading per command, parents before children."""
    return "\n".join([_INTRO, *_helps(filmsplit, ("filmsplit",), None)])


def _helps(command: click.Command, path: tuple[str, ...], parent: click.Context | None) -> Iterator[str]:
    context = click.Context(command, info_name=path[-1], parent=parent, max_content_width=_WIDTH, terminal_width=_WIDTH)
    yield f"## {' '.join(path)}\n\n```text\n{command.get_help(context).rstrip()}\n```\n"
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            child = command.get_command(context, name)
            if child is not None:
                yield from _helps(child, (*path, name), context)
