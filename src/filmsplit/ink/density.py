"""From ink film to what a densitometer reads, and back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array


@dataclass(frozen=True, slots=True)
class DensityCurve:
    """Constants of one ink on one stock: saturation density, and how fast it is reached per unit of ink amount."""

    saturation: float
    rate: float
    rms: float = 0.0


def solid_density(amount: Array | float, *, saturation: float, rate: float) -> Array:
    """Density of a solid carrying ``amount`` of ink: D_inf (1 - exp(-m amount)); Tollenaar & Ernst 1962 (memory)."""
    return np.asarray(-saturation * np.expm1(-rate * np.asarray(amount)))


def amount_for_density(density: Array | float, *, saturation: float, rate: float) -> Array:
    """Ink amount that gives ``density``; infinite where the density is at or above saturation."""
    with np.errstate(divide="ignore", invalid="ignore"):
        left = 1.0 - np.asarray(density) / saturation
        return np.where(left > 0, -np.log(np.maximum(left, 0.0)) / rate, np.inf)


def fit_density_curve(amounts: Array, densities: Array) -> DensityCurve:
    """Least-squares Tollenaar-Ernst constants from a shop's own readings; needs at least two different amounts.

    For a given rate the best saturation follows directly, so only the rate is searched: on a logarithmic net
    narrowed until it no longer matters.
    """
    x, y = np.asarray(amounts, dtype=np.float64), np.asarray(densities, dtype=np.float64)
    if np.unique(x).size < 2 or x.size != y.size or np.any(x <= 0):
        raise ValueError("needs at least two different positive amounts, one density for each")

    def saturation_at(rate: float) -> float:
        basis = -np.expm1(-rate * x)
        return float(basis @ y / (basis @ basis))

    def misfit(rate: float) -> float:
        return float(np.sum((solid_density(x, saturation=saturation_at(rate), rate=rate) - y) ** 2))

    low, high = 1e-4 / float(np.mean(x)), 1e2 / float(np.mean(x))
    for _ in range(14):
        net = np.geomspace(low, high, 41)
        best = int(np.argmin([misfit(float(rate)) for rate in net]))
        low, high = float(net[max(best - 1, 0)]), float(net[min(best + 1, 40)])
    rate = float(np.sqrt(low * high))
    return DensityCurve(saturation_at(rate), rate, float(np.sqrt(misfit(rate) / x.size)))


def tint_density(area: Array | float, solid: Array | float, *, n: float = 1.0) -> Array:
    """Density of a tint from its dot area and its solid, both net of paper.

    Murray, J. Franklin Inst. 221 (1936) 721; ``n`` other than 1: Yule & Nielsen, TAGA 1951.
    """
    dark = 10.0 ** (-np.asarray(solid) / n)
    return np.asarray(-n * np.log10(1.0 - np.asarray(area) * (1.0 - dark)))


def dot_area(tint: Array | float, solid: Array | float, *, n: float = 1.0) -> Array:
    """Dot area that gives the density ``tint`` where the solid gives ``solid`` (the same two laws, turned round)."""
    return np.asarray(np.expm1(-np.log(10.0) * np.asarray(tint) / n) / np.expm1(-np.log(10.0) * np.asarray(solid) / n))


def printed_area(coverage: Array | float, *, gain_at_half: float) -> Array:
    """Dot area in print of a tint of ``coverage``: c + 4 g50 c (1 - c), ``gain_at_half`` = gain at 50 %."""
    c = np.asarray(coverage)
    return np.asarray(c + 4.0 * gain_at_half * c * (1.0 - c))
