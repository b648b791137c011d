"""How far a forecast may be off: derivatives times stated uncertainties, added as squares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

from filmsplit.simulation.parameters import Parameter
from filmsplit.simulation.sensitivity import Derivative

COVERAGE = 0.8
"""Part of cases that the band is meant to hold, unless the caller says otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertainty:
    """One standard deviation of a parameter, in its own unit, and where the number comes from."""

    parameter: Parameter
    sigma: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A forecast, the band that holds it in the part ``coverage`` of cases, and each parameter's part of the variance.

    Errors are taken as independent, normal, and small enough for the print to follow them in a straight line; a film
    below nothing is cut off at 0. ``settled`` only if every derivative used was.
    """

    value_um: float
    low_um: float
    high_um: float
    coverage: float
    sigma_um: float
    parts: Mapping[Parameter, float]
    settled: bool

    @property
    def largest(self) -> Parameter | None:
        """The largest contributor; ``None`` where nothing is uncertain."""
        return max(self.parts, key=lambda each: self.parts[each], default=None) if self.sigma_um > 0 else None


def band_of(
    value_um: float,
    derivatives: Sequence[Derivative],
    *,
    uncertainties: Sequence[Uncertainty],
    coverage: float = COVERAGE,
) -> Band:
    """The band about ``value_um``.

    ``ValueError`` where an uncertainty has no derivative (it would be left out), stands twice, or is no deviation.
    """
    by_parameter = {each.parameter: each for each in derivatives}
    _check(uncertainties, known=set(by_parameter), coverage=coverage)
    used = [(each, by_parameter[each.parameter]) for each in uncertainties]
    variances = {each.parameter: (each.sigma * slope.sheet_um_per_unit) ** 2 for each, slope in used}
    variance = math.fsum(variances.values())
    half = NormalDist().inv_cdf(0.5 + coverage / 2) * math.sqrt(variance)
    return Band(
        value_um=value_um,
        low_um=max(0.0, value_um - half),
        high_um=value_um + half,
        coverage=coverage,
        sigma_um=math.sqrt(variance),
        parts={id: each / variance if variance > 0 else 0.0 for id, each in variances.items()},
        settled=all(slope.settled for _, slope in used),
    )


def _check(uncertainties: Sequence[Uncertainty], *, known: set[Parameter], coverage: float) -> None:
    parameters = [each.parameter for each in uncertainties]
    if missing := [each for each in parameters if each not in known]:
        raise ValueError(f"no derivative for {missing}")
    if len(set(parameters)) < len(parameters):
        raise ValueError("a parameter has its uncertainty stated twice")
    if any(not 0 <= each.sigma < math.inf for each in uncertainties):
        raise ValueError("a deviation must be finite and not negative")
    if not 0 < coverage < 1:
        raise ValueError("the part of cases in the band lies between 0 and 1")
