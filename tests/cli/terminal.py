"""Run a command as typed in a terminal of one width, in this process."""

from __future__ import annotations

import os
from dataclasses import dataclass
from unittest.mock import patch

import pytest

from filmsplit.cli.main import main

COLUMNS = "150"


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
    # Workers that run tests beside each other have a terminal of another width than a single one.
    with patch.dict(os.environ, {"COLUMNS": COLUMNS}):
        try:
            main(list(arguments))
        except SystemExit as done:
            code = int(done.code or 0)
    printed = capsys.readouterr()
    return Ran(code, printed.out, printed.err)
