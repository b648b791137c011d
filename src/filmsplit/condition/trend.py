"""One trend through the readings of all covers at once: robust, with the error of measuring, pooled by compound.

Every term is likely beforehand; how far covers, readers and bends differ from each other is found too (empirical Bayes,
as far as there are enough of them). Readings far from all others count for less: errors follow Student's distribution
with ``FREEDOM`` degrees of freedom, fitted by its weights (Lange, Little & Taylor, J. Am. Stat. Assoc. 84 (1989) 881,
memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from filmsplit.condition.lives import CoverLife, TrendPoint
from filmsplit.condition.trend_terms import BEND_YEARS, Likely, Term, TrendHabits, read

Array = NDArray[np.float64]

FREEDOM = 5.0
ROUNDS = 150
CLOSE = 1e-3
"""Rounds end when no spread moves by more than this part of itself."""

ASSUMED_COUNTS = 6.0
"""A spread assumed beforehand counts like so many covers or readers."""

ASSUMED_READINGS = 12.0

LEAST_PACE = 0.3
"""However slowly a compound seems to age, its bends are at least this part of the likely ones (invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trend:
    """The most probable value of every term and their covariance.

    ``spreads``: the deviation found for each kind; ``noise``: by how much readings scatter more than their own errors
    say; ``weights`` of the readings in the order of the lives; ``paces``: by how much the bends of each compound are
    larger or smaller than likely; ``settled`` is false where the rounds ran out.
    """

    lives: tuple[CoverLife, ...]
    habits: TrendHabits
    terms: dict[Term, int]
    values: Array
    covariance: Array
    spreads: dict[str, float]
    noise: float
    weights: Array
    paces: dict[str, float]
    settled: bool

    def life_of(self, roller: str) -> CoverLife:
        """The cover now on a roller; ``KeyError`` where none is known."""
        found = [life for life in self.lives if life.roller == roller]
        if not found:
            raise KeyError(roller)
        return max(found, key=lambda life: life.number)


def fit_trend(lives: Sequence[CoverLife], habits: TrendHabits) -> Trend:
    """Fit all readings of all covers. ``ValueError`` where there is no reading at all."""
    fit = _Fit(tuple(lives), habits)
    spreads = {kind: likely.sigma for kind, likely in habits.likely.items()}
    noise, weights, settled = 1.0, np.ones(fit.count), False
    for _ in range(ROUNDS):
        values, covariance = fit.solve(spreads, noise=noise, weights=weights)
        fit.pace(values)
        squares = fit.squares(values, covariance)
        weights = (FREEDOM + 1) / (FREEDOM + squares / noise**2)
        found = fit.spreads(values, covariance)
        total = float(np.sum(weights * squares)) + ASSUMED_READINGS
        new_noise = float(np.sqrt(total / (fit.count + ASSUMED_READINGS)))
        moved = max(abs(new_noise / noise - 1), *(abs(found[kind] / spreads[kind] - 1) for kind in found))
        spreads, noise = spreads | found, new_noise
        if moved < CLOSE:
            settled = True
            break
    values, covariance = fit.solve(spreads, noise=noise, weights=weights)
    return Trend(
        lives=fit.lives,
        habits=habits,
        terms=fit.terms,
        values=values,
        covariance=covariance,
        spreads=spreads,
        noise=noise,
        weights=weights,
        paces=fit.paces,
        settled=settled,
    )


class _Fit:
    """The readings as rows, the terms as columns. Every term is counted from its likely mean."""

    def __init__(self, lives: tuple[CoverLife, ...], habits: TrendHabits) -> None:
        self.lives, self._habits = lives, habits
        rows = [(life, point) for life in lives for point in life.points]
        if not rows:
            raise ValueError("needs at least one reading")
        self.count = len(rows)
        last = max(point.on for _, point in rows)
        made = [dict(read(life, point, bends_until=last)) for life, point in rows]
        self.terms: dict[Term, int] = {}
        for row in made:
            for term in row:
                self.terms.setdefault(term, len(self.terms))
        self._matrix = np.zeros((self.count, len(self.terms)))
        for number, row in enumerate(made):
            for term, size in row.items():
                self._matrix[number, self.terms[term]] = size
        self._kinds = np.array([term[0] for term in self.terms])
        starts = {life.key: _start(life, habits) for life in lives}
        self._likely = [starts[t[1]] if t[0] == "start" else habits.likely[t[0]] for t in self.terms]
        self._means = np.array([likely.mean for likely in self._likely])
        self.paces = {life.compound: 1.0 for life in lives}
        self._compounds = {life.key: life.compound for life in lives}
        self._read = np.array([point.value for _, point in rows])
        self._errors = np.array([self._error(point) for _, point in rows])

    def _error(self, point: TrendPoint) -> float:
        """A reading on a roller of unknown warmth is as much less sure."""
        if point.temperature_c is not None:
            return point.sigma
        warmth = self._habits.likely["warmth"]
        return float(np.hypot(point.sigma, abs(warmth.mean) * self._habits.unknown_temperature_k))

    def pace(self, values: Array) -> None:
        """A compound that ages slowly bends little too.

        On any curve towards an end the rate falls by its own square over the rise to that end (d rate/dt = -rate²/end),
        so bends count by the square of how fast the compound ages beside what is likely.
        """
        likely = self._habits.likely["rate"].mean
        for compound in self.paces:
            column = self.terms.get(("rate", compound))
            self.paces[compound] = 1.0 if column is None else max((float(values[column]) / likely) ** 2, LEAST_PACE)

    @property
    def _paces(self) -> Array:
        """By term: the pace of its compound for a bend, 1 for everything else."""
        return np.array([self.paces[self._compounds[t[1]]] if t[0] == "bend" else 1.0 for t in self.terms])

    def sizes(self, spreads: dict[str, float]) -> Array:
        """One deviation of every term beforehand."""
        own = np.array([likely.sigma for likely in self._likely])
        found = np.array([spreads[kind] for kind in self._kinds])
        sizes = np.where(self._kinds == "start", own, found)
        return np.where(self._kinds == "bend", sizes * self._paces * np.sqrt(BEND_YEARS), sizes)

    def solve(self, spreads: dict[str, float], *, noise: float, weights: Array) -> tuple[Array, Array]:
        """Values and covariance of all terms for given spreads and weights (Gaussian, exact)."""
        sizes = self.sizes(spreads)
        root = np.sqrt(weights) / (noise * self._errors)
        scaled = self._matrix * sizes * root[:, None]
        off = (self._read - self._matrix @ self._means) * root
        covariance = np.linalg.inv(scaled.T @ scaled + np.eye(sizes.size))
        values = self._means + sizes * (covariance @ (scaled.T @ off))
        return values, covariance * np.outer(sizes, sizes)

    def squares(self, values: Array, covariance: Array) -> Array:
        """Expected square of each reading's error over its own deviation."""
        off = self._read - self._matrix @ values
        unsure = np.einsum("ij,jk,ik->i", self._matrix, covariance, self._matrix, optimize=True)
        return np.asarray((off**2 + unsure) / self._errors**2)

    def spreads(self, values: Array, covariance: Array) -> dict[str, float]:
        """How far terms of one kind differ from each other: what was found beside what was assumed."""
        found = {}
        squares = ((values - self._means) ** 2 + np.diag(covariance)) / self._paces**2
        for kind in self._habits.learned:
            mine = squares[self._kinds == kind] / (BEND_YEARS if kind == "bend" else 1.0)
            assumed = self._habits.likely[kind].sigma
            total = float(mine.sum()) + ASSUMED_COUNTS * assumed**2
            found[kind] = float(np.sqrt(total / (mine.size + ASSUMED_COUNTS)))
        return found


def _start(life: CoverLife, habits: TrendHabits) -> Likely:
    if life.nominal is None:
        return habits.start_without_nominal
    return replace(habits.likely["start"], mean=life.nominal)
