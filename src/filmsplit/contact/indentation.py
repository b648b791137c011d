"""A hard parabola pressed into bonded covers: the mixed boundary value problem, solved directly.

The pressure over the stripe is ``p = (E' a / 2R) sum c_n sin((2n+1) t)`` at ``x = a cos t``: it vanishes at both ends
as a smooth contact must. Half space and bonded base differ only in waves longer than the cover is thick, so the
singular part of the integral equation is exact in this basis (Erdogan & Gupta, Quart. Appl. Math. 29 (1972) 525,
memory) and the rest is an integral over waves that die out like ``exp(-2w)``. The slope is matched at Chebyshev points.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from filmsplit.contact.layer import SINGLE, Layer, dent, stretch
from filmsplit.numerics.log_curve import Array

LONGEST_WAVE = 30.0
"""Where the integrals over waves end: what is left out is below exp(-30)."""
RESOLVED = 1e-9
"""A solution whose last terms are above this part of the first is not resolved."""


@dataclass(frozen=True, slots=True, eq=False)
class Indentation:
    """One contact without units: lengths in the unit ``h``, and by name ``a/h``, ``P R/(E' h^2)``, ``d R/h^2``,
    ``p0 R/(E' h)``, and the surface strain ``e R/h`` in the middle of the stripe for each cover.
    """

    half_width: float
    load: float
    approach: float
    peak: float
    stretches: tuple[float, ...]
    coefficients: Array

    @property
    def resolved(self) -> bool:
        """Whether the terms of the pressure have died out; false as well where anything is not finite."""
        sizes = np.abs(self.coefficients)
        numbers = (self.load, self.approach, self.peak, *self.stretches)
        return all(map(math.isfinite, numbers)) and bool(sizes[-3:].max() <= RESOLVED * sizes[0])

    def pressure(self, places: Array) -> Array:
        """``p R/(E' h)`` at ``places`` across the stripe, -1 to 1; zero outside."""
        inside = np.abs(places) < 1.0
        angle = np.arccos(np.where(inside, places, 0.0))
        waves = np.sin(np.multiply.outer(angle, _odd(len(self.coefficients))))
        return np.where(inside, 0.5 * self.half_width * (waves @ self.coefficients), 0.0)


def indent(half_width: float, layers: Sequence[Layer] = SINGLE) -> Indentation:
    """The contact of half-width ``a/h = half_width`` on one cover, or on two that share the pressure between them."""
    c = half_width
    terms = 24 + int(3 * c)
    waves, weights = _waves(max(c, *(layer.thickness for layer in layers)))
    spectrum = _spectrum(waves * c, terms, nodes=48 + int(20 * c))
    yielding = sum((layer.share * dent(waves * layer.thickness) for layer in layers), np.zeros_like(waves))
    angles = (np.arange(terms) + 0.5) * (0.5 * np.pi / terms)
    slopes = np.cos(np.outer(angles, _odd(terms)))
    slopes += (c / np.pi) * (np.sin(np.outer(np.cos(angles), waves * c)) * (weights * (yielding - 1.0))) @ spectrum
    coefficients = np.linalg.solve(slopes, np.cos(angles))
    transform = spectrum @ coefficients
    smooth = weights * (yielding - 1.0 + np.exp(-waves)) / waves
    scale = c * c / np.pi
    return Indentation(
        half_width=c,
        load=float(0.25 * np.pi * c * c * coefficients[0]),
        approach=float(scale * (_near_field(c, terms) @ coefficients + smooth @ transform)),
        peak=float(0.5 * c * (_signs(terms) @ coefficients)),
        stretches=tuple(
            float(scale * layer.share * (weights * stretch(waves * layer.thickness)) @ transform) for layer in layers
        ),
        coefficients=coefficients,
    )


def _odd(terms: int) -> Array:
    return np.asarray(2.0 * np.arange(terms) + 1.0)


def _signs(terms: int) -> Array:
    return np.asarray((-1.0) ** np.arange(terms))


def _waves(finest: float) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights over the waves, fine enough for whatever swings ``finest`` times a radian."""
    unit, weights = _legendre(64 * (2 + int(25 * finest) // 64))
    return 0.5 * LONGEST_WAVE * (unit + 1.0), 0.5 * LONGEST_WAVE * weights


@lru_cache(maxsize=32)
def _legendre(count: int) -> tuple[Array, Array]:
    points, weights = np.polynomial.legendre.leggauss(count)
    return np.asarray(points, dtype=np.float64), np.asarray(weights, dtype=np.float64)


def _spectrum(waves: Array, terms: int, *, nodes: int) -> Array:
    """Cosine transforms of the terms of the pressure over -1..1, by Gauss-Chebyshev quadrature; (waves, terms)."""
    places, weighted = _quadrature(terms, nodes)
    return np.asarray(np.cos(np.outer(waves, places)) @ weighted)


def _quadrature(terms: int, nodes: int) -> tuple[Array, Array]:
    """Places in 0..1, and each term times its weight for the integral of an even function over -1..1."""
    angles = (np.arange(nodes) + 0.5) * (0.5 * np.pi / nodes)
    weighted = np.sin(np.outer(angles, _odd(terms))) * np.sin(angles)[:, None] * (np.pi / nodes)
    return np.cos(angles), weighted


def _near_field(c: float, terms: int) -> Array:
    """Per term, the part of the dent in the middle that has the half space's logarithm: ln(1 + 1/(c t)^2) / 2.

    The logarithm is integrated exactly (each term is half the difference of two cosines of the angle, and
    ``ln |t|`` has the transform ``-pi/m cos(m pi/2)``), the rest by quadrature.
    """
    n = np.arange(1, terms)
    log_part = np.empty(terms)
    log_part[0] = -0.5 * np.pi * (math.log(2.0) + 0.5)
    log_part[1:] = -_signs(terms)[1:] * 0.25 * np.pi * (1.0 / n + 1.0 / (n + 1))
    log_part[0] += 0.5 * np.pi * math.log(c)
    places, weighted = _quadrature(terms, 48 + int(20 * c))
    return np.asarray(0.5 * np.log1p((c * places) ** 2) @ weighted - log_part)
