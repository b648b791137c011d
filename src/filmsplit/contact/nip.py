"""One squeezed contact: give its stripe, its engagement, its load or its peak pressure, and the others follow.

Plane strain, covers bonded to rigid cores, Poisson's ratio one half, no friction, small strains: see
:mod:`filmsplit.contact.indentation` for the law and ``docs/stripe.md`` for what it leaves out.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

import numpy as np

from filmsplit.contact.curves import LEAST_HALF_WIDTH, MOST_HALF_WIDTH, ContactCurves, contact_curves
from filmsplit.contact.layer import SINGLE, Layer
from filmsplit.messages import Problem, Refusal, label
from filmsplit.numerics.log_curve import Array

POISSON = 0.5
MOST_THICKNESS_RATIO = 20.0
"""Two covers more different than this are not solved: one of them no longer matters."""

Number = TypeVar("Number", float, Array)


class Known(Enum):
    """Which of the four is given."""

    STRIPE = "stripe_mm"
    ENGAGEMENT = "engagement_mm"
    LOAD = "load_n_per_mm"
    PEAK = "peak_mpa"

    @property
    def text(self) -> str:
        """In a person's words."""
        return label(f"squeeze.{self.value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class BondedCover:
    """A cover as mechanics sees it: thickness on one side, and Young's modulus."""

    thickness_mm: float
    modulus_mpa: float

    @property
    def plane_modulus_mpa(self) -> float:
        """E' = E / (1 - nu^2): four thirds of Young's modulus."""
        return self.modulus_mpa / (1.0 - POISSON**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nip:
    """A contact: relative radius 1/(1/R1 + 1/R2), and its one or two covers."""

    relative_radius_mm: float
    covers: tuple[BondedCover, ...]

    def __post_init__(self) -> None:
        sizes = [self.relative_radius_mm, *(size for c in self.covers for size in (c.thickness_mm, c.modulus_mpa))]
        if not all(0.0 < size < np.inf for size in sizes):
            raise Refusal(Problem("nip-size-not-positive"))
        if not 1 <= len(self.covers) <= 2:
            raise Refusal(Problem("nip-without-cover"))
        thicknesses = [cover.thickness_mm for cover in self.covers]
        if max(thicknesses) > MOST_THICKNESS_RATIO * min(thicknesses):
            raise Refusal(Problem("covers-too-unlike", {"ratio": MOST_THICKNESS_RATIO}))

    @property
    def plane_modulus_mpa(self) -> float:
        """Of both covers together: compliances add."""
        return 1.0 / sum(1.0 / cover.plane_modulus_mpa for cover in self.covers)

    @property
    def unit_mm(self) -> float:
        """The thinnest cover: the unit of length of the law."""
        return min(cover.thickness_mm for cover in self.covers)

    @property
    def layers(self) -> tuple[Layer, ...]:
        """The covers without units, in their order."""
        if len(self.covers) == 1:
            return SINGLE  # exactly, so that all single covers share one set of curves
        together = self.plane_modulus_mpa
        return tuple(Layer(c.thickness_mm / self.unit_mm, together / c.plane_modulus_mpa) for c in self.covers)


@dataclass(frozen=True, slots=True, kw_only=True)
class Squeeze(Generic[Number]):
    """A contact solved. ``strains``: how much each cover's surface is stretched along its travel, mid-stripe."""

    stripe_mm: Number
    engagement_mm: Number
    load_n_per_mm: Number
    peak_mpa: Number
    strains: tuple[Number, ...]


def squeeze(nip: Nip, known: Known, value: float) -> Squeeze[float]:
    """Everything about a nip of which one thing is known. Refuses a value outside the law, or no number."""
    if not 0.0 < value < np.inf:
        raise Refusal(Problem("squeeze-not-positive", {"what": known.text}))
    solved = _solve(contact_curves(nip.layers), _scales_of(nip), known=known, values=np.array([value]))
    if not np.isfinite(solved.stripe_mm[0]):
        low, high = (float(width) for width in stripe_range_mm(nip))
        raise Refusal(Problem("squeeze-beyond-the-law", {"what": known.text, "value": value, "low": low, "high": high}))
    return Squeeze(
        stripe_mm=float(solved.stripe_mm[0]),
        engagement_mm=float(solved.engagement_mm[0]),
        load_n_per_mm=float(solved.load_n_per_mm[0]),
        peak_mpa=float(solved.peak_mpa[0]),
        strains=tuple(float(strain[0]) for strain in solved.strains),
    )


def squeeze_many(
    known: Known, values: Array, *, relative_radius_mm: Array, thickness_mm: Array, modulus_mpa: Array
) -> Squeeze[Array]:
    """Many contacts of one cover each at once, arrays of one shape. Not a number wherever :func:`squeeze` refuses."""
    scales = _Scales(thickness_mm, relative_radius_mm, modulus_mpa / (1.0 - POISSON**2))
    return _solve(contact_curves(SINGLE), scales, known=known, values=np.asarray(values, dtype=np.float64))


def squeezes(nip: Nip, known: Known, values: Array) -> Squeeze[Array]:
    """One nip at many values, such as round a turn. Not a number wherever :func:`squeeze` refuses."""
    return _solve(contact_curves(nip.layers), _scales_of(nip), known=known, values=np.asarray(values, dtype=np.float64))


def stripe_range_mm(nip: Nip) -> tuple[float, float]:
    """The narrowest and the widest stripe the law is solved for."""
    return 2.0 * LEAST_HALF_WIDTH * nip.unit_mm, 2.0 * MOST_HALF_WIDTH * nip.unit_mm


@dataclass(frozen=True, slots=True, eq=False)
class _Scales:
    """What gives the curves their units: ``h`` mm, ``R`` mm and ``E'`` MPa."""

    h: Array | float
    radius: Array | float
    modulus: Array | float


def _scales_of(nip: Nip) -> _Scales:
    return _Scales(nip.unit_mm, nip.relative_radius_mm, nip.plane_modulus_mpa)


def _solve(curves: ContactCurves, scales: _Scales, *, known: Known, values: Array) -> Squeeze[Array]:
    h, radius, modulus = scales.h, scales.radius, scales.modulus
    units = {
        Known.ENGAGEMENT: h * h / radius,
        Known.LOAD: modulus * h * h / radius,
        Known.PEAK: modulus * h / radius,
    }
    by = {Known.ENGAGEMENT: curves.approach, Known.LOAD: curves.load, Known.PEAK: curves.peak}
    half = values / (2.0 * h) if known is Known.STRIPE else by[known].where(values / units[known])
    return Squeeze(
        stripe_mm=np.where(np.isfinite(curves.load.at(half)), 2.0 * h * half, np.nan),
        engagement_mm=curves.approach.at(half) * units[Known.ENGAGEMENT],
        load_n_per_mm=curves.load.at(half) * units[Known.LOAD],
        peak_mpa=curves.peak.at(half) * units[Known.PEAK],
        strains=tuple(curve.at(half) * (h / radius) for curve in curves.stretches),
    )
