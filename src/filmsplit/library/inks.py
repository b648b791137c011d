"""Inks that come with the program: what the program needs to know of them, each number with its source."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from filmsplit.setup.aim_checks import AimWindow, SolidColour


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """One ink: its density, one standard deviation of that, and where both come from.

    ``film`` is what it is made to print, ``solid`` the colour it then has; ``None`` where nobody has said.
    """

    slug: str
    density_g_per_cm3: float
    sigma_g_per_cm3: float
    source: str
    film: AimWindow | None = None
    solid: SolidColour | None = None


DEFAULT_INK = "process-black"
"""The ink taken where nobody names one."""


@cache
def inks() -> tuple[Ink, ...]:
    """Every ink, in the order of the file."""
    table = tomllib.loads(files(__package__).joinpath("inks.toml").read_text(encoding="utf-8"))
    return tuple(_ink(slug, row) for slug, row in table.items())


def _ink(slug: str, row: dict[str, Any]) -> Ink:
    film, solid = row.pop("film", None), row.pop("solid", None)
    if solid is not None:
        solid = SolidColour(**solid | {"lab": tuple(solid["lab"])})
    return Ink(slug=slug, film=None if film is None else AimWindow(**film), solid=solid, **row)


def ink(slug: str = DEFAULT_INK) -> Ink:
    """The ink called ``slug``; ``KeyError`` if there is none."""
    for each in inks():
        if each.slug == slug:
            return each
    raise KeyError(slug)


def ink_named(name: str) -> Ink | None:
    """The ink a person means by ``name``, as in "process black" or "black"; ``None`` if there is none."""
    known = {each.slug: each for each in inks()}
    word = name.strip().lower().replace(" ", "-")
    return known.get(word) or known.get(f"process-{word}")
