"""What a colour change takes unless the shop knows better: wash, prices, paper, and when the old ink is called gone."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from filmsplit.ink.colour import Lab
from filmsplit.setup.wash_or_run_out import Prices, Washing


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourChangeFigures:
    """The figures of ``colour_change.toml``, and the sources of those that carry none themselves."""

    paper: Lab
    paper_source: str
    delta_e_00: float
    delta_e_source: str
    washing: Washing
    prices: Prices


@cache
def colour_change_figures() -> ColourChangeFigures:
    """The file, read once."""
    table = tomllib.loads(files(__package__).joinpath("colour_change.toml").read_text(encoding="utf-8"))
    first, second, third = table["paper"]["lab"]
    return ColourChangeFigures(
        paper=(first, second, third),
        paper_source=table["paper"]["source"],
        delta_e_00=table["clean"]["delta_e_00"],
        delta_e_source=table["clean"]["source"],
        washing=Washing(**table["washing"]),
        prices=Prices(**table["prices"]),
    )
