"""How unsure the numbers of a train are unless the shop knows better, each with its source."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from filmsplit.simulation.bands import Uncertainty
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, parameters_of, value_of
from filmsplit.simulation.train import Train


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One standard deviation of one kind of number; ``relative``: as a part of the number itself."""

    kind: ParameterKind
    sigma: float
    relative: bool
    source: str


@cache
def spreads() -> tuple[Spread, ...]:
    """The deviation of every kind of number, in the order of the file."""
    table = tomllib.loads(files(__package__).joinpath("uncertainties.toml").read_text(encoding="utf-8"))
    return tuple(Spread(kind=ParameterKind(kind), **row) for kind, row in table.items())


def uncertainties_of(train: Train, demand: Demand) -> tuple[Uncertainty, ...]:
    """The stated uncertainties of one train: one for each number in it that a forecast rests on.

    Split and contact have an error of their own at every nip, independent of the others'.

    A law on the sheet that is no fixed share has no transfer of its own to be unsure of: its constants are.
    """
    by_kind = {spread.kind: spread for spread in spreads()}
    asked = Asked(train=train, demand=demand)
    return tuple(_stated(asked, each, spread=by_kind[each.kind]) for each in _present(train, demand))


def _present(train: Train, demand: Demand) -> tuple[Parameter, ...]:
    fixed = demand.transfer.is_linear
    return tuple(each for each in parameters_of(train) if fixed or each.kind is not ParameterKind.TRANSFER)


def _stated(asked: Asked, parameter: Parameter, *, spread: Spread) -> Uncertainty:
    size = abs(value_of(asked, parameter)) if spread.relative else 1.0
    return Uncertainty(parameter=parameter, sigma=spread.sigma * size, source=spread.source)
