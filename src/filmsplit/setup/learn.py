"""Zeros and gains of the keys, sweep exponent and split, learned from logged jobs.

One model of the press explains all jobs at once. Every number has a value that is likely beforehand; each key's gain is
the press's mean gain and a deviation, drawn towards none as far as the keys are found to be alike (hierarchical).
Readings far from all others count for less (Huber 1964, memory). Intervals come from the curvature at the answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.job_log import Guess, LoggedJob, prints_of
from filmsplit.setup.key_scale import KeyScale

MODEL_PART = 0.02
"""Part of a film by which the engine itself may miss a zone (invented default)."""

HUBER = 1.345
"""Deviations beyond which a reading counts for less: 95 % efficient on normal errors (Huber 1964, memory)."""

ROUNDS = 12
"""Gauss-Newton rounds; weights and spreads are found anew in each, and settle in five or six."""

SPREAD_WEIGHT = 4.0
"""The spread assumed beforehand counts like so many keys."""

NO_DRIFT_BELOW = 5
"""Fewer jobs than this say nothing about drift."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Priors:
    """One standard deviation of every number before anything was logged.

    ``press`` (logarithm of the mean gain), ``sweep`` (exponent), ``split`` (share); by key ``gains`` (part),
    ``zeros`` (divisions) and ``drifts`` (part per job). Common practice for the gains, invented defaults otherwise.
    """

    press: float = 0.30
    sweep: float = 0.15
    split: float = 0.05
    gains: float = 0.12
    zeros: float = 0.5
    drifts: float = 0.02


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """The most probable guess, the covariance of its numbers (press, sweep, split, gains, zeros, drifts), the spreads
    of gains and zeros found, and the weight left to each reading (1: in full), job after job."""

    guess: Guess
    covariance: Array
    gain_spread: float
    zero_spread: float
    weights: Array


def posterior(
    jobs: Sequence[LoggedJob], *, scale: KeyScale, coupling: float, priors: Priors | None = None
) -> Posterior:
    """Fit all jobs. ``ValueError`` where there is none, or one has other zones than the scale."""
    keys = len(scale.zeros)
    if not jobs or any(job.readings.size != keys for job in jobs):
        raise ValueError("needs at least one job, each with as many zones as there are keys")
    fit = _Fit(tuple(jobs), scale=scale, coupling=coupling, priors=Priors() if priors is None else priors)
    gain_spread, zero_spread = fit.priors.gains, fit.priors.zeros
    x = np.zeros(fit.count)
    for _ in range(ROUNDS):
        sizes = fit.sizes(gain_spread, zero_spread)
        x, covariance, weights = fit.step(x, sizes)
        gain_spread = _spread(x[fit.gains], covariance[fit.gains, fit.gains], assumed=fit.priors.gains)
        zero_spread = _spread(x[fit.zeros], covariance[fit.zeros, fit.zeros], assumed=fit.priors.zeros)
    return Posterior(
        guess=fit.guess(x),
        covariance=covariance,
        gain_spread=gain_spread,
        zero_spread=zero_spread,
        weights=weights,
    )


def _spread(values: Array, covariance: Array, *, assumed: float) -> float:
    """Spread of the keys' own numbers: what was found and what is still unsure, beside what was assumed."""
    found = float(np.sum(values**2) + np.trace(covariance))
    return float(np.sqrt((found + SPREAD_WEIGHT * assumed**2) / (values.size + SPREAD_WEIGHT)))


class _Fit:
    """The unknowns as one row of numbers: press, sweep, split, gains, zeros, drifts."""

    def __init__(self, jobs: tuple[LoggedJob, ...], *, scale: KeyScale, coupling: float, priors: Priors) -> None:
        self._jobs, self._scale, self._coupling, self.priors = jobs, scale, coupling, priors
        self._keys = len(scale.zeros)
        self.gains = slice(3, 3 + self._keys)
        self.zeros = slice(3 + self._keys, 3 + 2 * self._keys)
        self._drifts = slice(3 + 2 * self._keys, 3 + 3 * self._keys)
        self.count = 3 + 3 * self._keys
        self._films = np.concatenate([job.films_um[job.read] for job in jobs])
        self._errors = np.concatenate([job.errors_um[job.read] for job in jobs])

    def sizes(self, gain_spread: float, zero_spread: float) -> Array:
        """One deviation of every unknown beforehand. Without enough jobs nothing drifts."""
        prior, keys = self.priors, self._keys
        drift = prior.drifts if len(self._jobs) >= NO_DRIFT_BELOW else 0.0
        each = [np.full(keys, gain_spread), np.full(keys, zero_spread), np.full(keys, drift)]
        return np.concatenate([[prior.press, prior.sweep, prior.split], *each])

    def guess(self, x: Array) -> Guess:
        return Guess(
            press=float(x[0]),
            sweep=float(x[1]),
            split=float(x[2]),
            gains=x[self.gains],
            zeros=x[self.zeros],
            drifts=x[self._drifts],
        )

    def step(self, x: Array, sizes: Array) -> tuple[Array, Array, Array]:
        """One Gauss-Newton step, the covariance at its start, and the weights it gave to the readings."""
        prints = self._prints(x)
        sigma = np.hypot(self._errors, MODEL_PART * prints)
        off = (self._films - prints) / sigma
        weights = np.minimum(1.0, HUBER / np.maximum(np.abs(off), 1e-300))
        root = np.sqrt(weights)
        slopes = self._slopes(x, sizes, prints=prints) / sigma[:, None]
        matrix = np.vstack([root[:, None] * slopes, np.eye(self.count)])
        scaled = np.divide(x, sizes, out=np.zeros(x.size), where=sizes > 0)
        target = np.concatenate([root * (off + slopes @ scaled), np.zeros(self.count)])
        found = np.linalg.lstsq(matrix, target)[0]
        covariance = np.linalg.inv(matrix.T @ matrix) * np.outer(sizes, sizes)
        return found * sizes, covariance, weights

    def _prints(self, x: Array) -> Array:
        prints = prints_of(self.guess(x), self._jobs, scale=self._scale, coupling=self._coupling)
        return np.concatenate([film[job.read] for film, job in zip(prints, self._jobs, strict=True)])

    def _slopes(self, x: Array, sizes: Array, *, prints: Array) -> Array:
        """Change of each print per deviation of each unknown, by small differences."""
        small = 1e-4
        moved = [self._prints(x + small * sizes[i] * unit) for i, unit in enumerate(np.eye(self.count))]
        return (np.array(moved).T - prints[:, None]) / small


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A number and the interval that holds it in the part of cases asked for."""

    value: float
    low: float
    high: float


def interval_of(value: float, variance: float, *, coverage: float) -> Interval:
    """Normal about the value."""
    half = NormalDist().inv_cdf(0.5 + coverage / 2) * float(np.sqrt(max(variance, 0.0)))
    return Interval(value=value, low=value - half, high=value + half)
