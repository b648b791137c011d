"""A smooth positive curve over several powers of ten, kept as a Chebyshev series of logarithm over logarithm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

Array = NDArray[np.float64]

_START_POINTS = 400
_NEWTON_STEPS = 4
"""From a straight line between neighbours of 400 points each step squares the error: three reach the last digit."""


def log_nodes(low: float, high: float, count: int) -> Array:
    """The points at which :meth:`LogCurve.through` wants its values: Chebyshev points of the logarithm."""
    return np.asarray(np.exp(_from_unit(chebyshev.chebpts1(count), low, high)))


def _from_unit(unit: Array, low: float, high: float) -> Array:
    return np.asarray(0.5 * (math.log(low * high) + unit * math.log(high / low)))


@dataclass(frozen=True, slots=True, eq=False)
class LogCurve:
    """A positive function on ``[low, high]``. ``series`` gives its logarithm, ``slopes`` the derivative of that."""

    low: float
    high: float
    series: Array
    slopes: Array

    @classmethod
    def through(cls, values: Array, *, low: float, high: float) -> LogCurve:
        """The curve through ``values`` at :func:`log_nodes`; ``ValueError`` unless all are finite and above zero."""
        if not (np.isfinite(values).all() and np.all(values > 0)):
            raise ValueError("a curve of logarithms needs finite values above zero")
        fitted = chebyshev.chebfit(chebyshev.chebpts1(len(values)), np.log(values), len(values) - 1)
        series = np.asarray(fitted, dtype=np.float64)
        return cls(low, high, series, np.asarray(chebyshev.chebder(series), dtype=np.float64))

    @property
    def rises(self) -> bool:
        """Whether it rises everywhere, so that :meth:`where` has one answer."""
        return bool(np.all(chebyshev.chebval(np.linspace(-1.0, 1.0, _START_POINTS), self.slopes) > 0))

    @property
    def ends(self) -> tuple[float, float]:
        """The values at ``low`` and ``high``."""
        low, high = self.at(np.array([self.low, self.high]))
        return float(low), float(high)

    def at(self, points: Array) -> Array:
        """The values at ``points``; not a number outside ``[low, high]``."""
        middle, reach = self._log_middle
        with np.errstate(invalid="ignore", divide="ignore"):
            unit = (np.log(points) - middle) / reach
        inside = np.where(np.abs(unit) <= 1.0 + 1e-12, unit, np.nan)
        return np.asarray(np.exp(chebyshev.chebval(inside, self.series)))

    def where(self, values: Array) -> Array:
        """The points at which a rising curve has ``values``; not a number for values it does not take."""
        middle, reach = self._log_middle
        with np.errstate(invalid="ignore", divide="ignore"):
            wanted = np.log(values)
        starts = np.linspace(-1.0, 1.0, _START_POINTS)
        unit = np.interp(wanted, chebyshev.chebval(starts, self.series), starts, left=np.nan, right=np.nan)
        for _ in range(_NEWTON_STEPS):
            unit = unit - (chebyshev.chebval(unit, self.series) - wanted) / chebyshev.chebval(unit, self.slopes)
        return np.asarray(np.exp(middle + reach * unit))

    @property
    def _log_middle(self) -> tuple[float, float]:
        return 0.5 * math.log(self.low * self.high), 0.5 * math.log(self.high / self.low)
