"""Inks that come with the program: what the ink engine needs to know of them, each number with its source."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """One ink: its density, one standard deviation of that, and where both come from."""

    slug: str
    density_g_per_cm3: float
    sigma_g_per_cm3: float
    source: str


DEFAULT_INK = "process-black"
"""The ink taken where nobody names one."""


@cache
def inks() -> tuple[Ink, ...]:
    """Every ink, in the order of the file."""
    table = tomllib.loads(files(__package__).joinpath("inks.toml").read_text(encoding="utf-8"))
    return tuple(Ink(slug=slug, **row) for slug, row in table.items())


def ink(slug: str = DEFAULT_INK) -> Ink:
    """The ink called ``slug``; ``KeyError`` if there is none."""
    for each in inks():
        if each.slug == slug:
            return each
    raise KeyError(slug)
