"""Limits of roller care that come with the program, and the shop's own laid over them."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from filmsplit.condition.limits import CareTable
from filmsplit.formats.care_table_file import loads_care_table
from filmsplit.formats.press_file import read_text

_OWN = "roller_limits.toml"


@cache
def usual_table() -> CareTable:
    """The table that comes with the program: common practice throughout."""
    return loads_care_table(files(__package__).joinpath(_OWN).read_text(encoding="utf-8"), name=_OWN)


def care_table(own: Path | None = None) -> CareTable:
    """The usual table with the rows of the shop's ``own`` file before it. Refuses a file with a bad row."""
    usual = usual_table()
    if own is None:
        return usual
    added = loads_care_table(read_text(own), name=str(own))
    return CareTable(
        limits=added.limits + usual.limits,
        arrivals=added.arrivals + usual.arrivals,
        intervals=added.intervals + usual.intervals,
    )
