"""A log of invented jobs of a demo press, to try records, "last time" and learning on. No such job was ever printed."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedJob:
    """A job as it was logged. Lists are by zone from the operator's side; ``first_densities`` are of the first sheet
    measured, ``densities`` of the OK sheet, ``None`` where a zone has no image.
    """

    press: str
    unit: str
    printed_on: date
    title: str
    stock: str
    sheet_mm: tuple[float, float]
    sheets: int
    sheets_to_ok: int
    waste_sheets: int
    sweep: float
    water: float
    aim_density: float
    saturation: float
    rate_per_um: float
    coverage_percent: tuple[float, ...]
    keys: tuple[float, ...]
    first_densities: tuple[float | None, ...]
    densities: tuple[float | None, ...]


INK = "process-black"
STATUS, POLARISED, BACKING = "E", True, "black"
"""How the densities are said to have been read: invented like the rest."""


@cache
def invented_jobs() -> tuple[InventedJob, ...]:
    """The log, the oldest job first."""
    table = tomllib.loads(files(__package__).joinpath("invented_jobs.toml").read_text(encoding="utf-8"))
    rows = table.pop("job")
    assert table.pop("invented") is True
    return tuple(InventedJob(**table, **_values(row)) for row in rows)


def _values(row: dict[str, Any]) -> dict[str, Any]:
    lists = {name: tuple(_known(each) for each in value) for name, value in row.items() if isinstance(value, list)}
    return row | lists


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)
