"""Closed forms to compare a contact with. None of them is an answer for a real roller, which lies between."""

from __future__ import annotations

import math


def half_space_load_n_per_mm(half_stripe_mm: float, *, plane_modulus_mpa: float, radius_mm: float) -> float:
    """A cover without end: P = pi E' a^2 / (4 R). Hertz; Johnson, Contact Mechanics (1985), section 4.2."""
    return math.pi * plane_modulus_mpa * half_stripe_mm**2 / (4.0 * radius_mm)


def half_space_half_stripe_mm(load_n_per_mm: float, *, plane_modulus_mpa: float, radius_mm: float) -> float:
    """The same turned round: a = sqrt(4 P R / (pi E'))."""
    return math.sqrt(4.0 * load_n_per_mm * radius_mm / (math.pi * plane_modulus_mpa))


def half_space_peak_mpa(half_stripe_mm: float, *, plane_modulus_mpa: float, radius_mm: float) -> float:
    """Highest pressure of the same: p0 = E' a / (2 R), so that P = pi a p0 / 2."""
    return plane_modulus_mpa * half_stripe_mm / (2.0 * radius_mm)


def thin_cover_load_n_per_mm(
    half_stripe_mm: float, *, modulus_mpa: float, thickness_mm: float, radius_mm: float
) -> float:
    """A cover much thinner than the stripe: P = 2 E a^5 / (45 R h^3). Johnson, section 5.8, incompressible."""
    return 2.0 * modulus_mpa * half_stripe_mm**5 / (45.0 * radius_mm * thickness_mm**3)


def thin_cover_engagement_mm(half_stripe_mm: float, *, radius_mm: float) -> float:
    """The same: a^2 / (6 R)."""
    return half_stripe_mm**2 / (6.0 * radius_mm)


def overlap_mm(half_stripe_mm: float, *, radius_mm: float) -> float:
    """How far two rigid circles would overlap to leave such a chord: a^2 / (2 R). Not an engagement."""
    return half_stripe_mm**2 / (2.0 * radius_mm)
