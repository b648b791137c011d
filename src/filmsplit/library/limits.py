"""What is not modelled, and what that means for whoever relies on an answer."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

EVERYWHERE = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One thing left out: ``what`` it is, and ``so`` what follows for the person."""

    slug: str
    area: str
    what: str
    so: str
    source: str


@cache
def limits() -> tuple[Limit, ...]:
    """Every limit, in the order of the file."""
    table = tomllib.loads(files(__package__).joinpath("limits.toml").read_text(encoding="utf-8"))
    return tuple(Limit(slug=slug, **row) for slug, row in table.items())


def limits_of(area: str) -> tuple[Limit, ...]:
    """The limits an answer about ``area`` should carry: its own, then those that hold everywhere."""
    own = tuple(limit for limit in limits() if limit.area == area)
    return own + tuple(limit for limit in limits() if limit.area == EVERYWHERE)
