"""How covers bear inks and washes, as far as common practice goes."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from filmsplit.press.words import Material
from filmsplit.setup.cover_checks import Bearing, CoverRule, InkFamily, WashClass


@cache
def cover_rules() -> tuple[CoverRule, ...]:
    """Every rule, in the order of the file."""
    table = tomllib.loads(files(__package__).joinpath("cover_rules.toml").read_text(encoding="utf-8"))
    return tuple(
        CoverRule(material=Material(material), against=kind(word), bearing=Bearing(bearing), source=row["source"])
        for material, row in table.items()
        for name, kind in (("ink", InkFamily), ("wash", WashClass))
        for word, bearing in row[name].items()
    )
