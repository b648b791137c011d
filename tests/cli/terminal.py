"""Run a command as typed in a terminal, in this process."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from filmsplit.cli.main import main


@dataclass(frozen=True)
class Ran:
    """What a command left: exit code, and what it printed."""

    code: int
    out: str
    err: str


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> Ran:
    """Run ``filmsplit`` with ``arguments``."""
    capsys.readouterr()
    code = 0
    try:
        main(list(arguments))
    except SystemExit as done:
        code = int(done.code or 0)
    printed = capsys.readouterr()
    return Ran(code, printed.out, printed.err)
