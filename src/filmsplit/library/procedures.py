"""Procedures that come with the program: starting, stopping, restarting, closing down, washing up, running down."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from filmsplit.formats.procedure_file import load_procedure
from filmsplit.procedures.procedure import Procedure

_FOLDER = Path(__file__).parent / "procedure_files"
OF_A_JOB = ("start", "stop", "restart", "close-down", "wash-up")
"""In the order of a day: what a set-up sheet carries."""

PROCEDURES = (*OF_A_JOB, "run-down", "set-rollers", "sample-solution")
"""Every one: of a job, a test, the setting of rollers, and the sampling of fountain solution."""


@cache
def procedure(id: str) -> Procedure:
    """The procedure called ``id``; ``KeyError`` if there is none. Validated like anybody's file."""
    if id not in PROCEDURES:
        raise KeyError(id)
    return load_procedure(_FOLDER / f"{id}.yaml")
