"""What heat, swelling, wear and run-out do to a roller and to its stripe."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.contact.nip import Known, Nip, squeezes, stripe_range_mm
from filmsplit.contact.rollers import Body
from filmsplit.numerics.log_curve import Array


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverHeat:
    """How a cover answers to warmth.

    ``expansion_per_k`` is linear, about 2e-4 for filled rubber (memory). ``softening_shore_a_per_k`` has no published
    law for roller compounds: it is an assumption, and ``softening_band`` goes from no effect to a strong one.
    """

    expansion_per_k: float = 2e-4
    softening_shore_a_per_k: float = 0.1
    softening_band: tuple[float, float] = (0.0, 0.3)


USUAL_HEAT = CoverHeat()


def thermal_growth_mm(thickness_mm: float, *, warming_k: float, expansion_per_k: float) -> float:
    """3 alpha dT h: bonded and incompressible, the cover gives all its volume to its thickness.

    Thermoelasticity of a layer that cannot spread (Timoshenko & Goodier, memory), at Poisson 0.5.
    """
    return 3.0 * expansion_per_k * warming_k * thickness_mm


def swelling_mm(thickness_mm: float, *, volume_part: float) -> float:
    """v h: a cover that took up ``volume_part`` of its volume thickens by the whole of it; negative: it shrank."""
    return volume_part * thickness_mm


def warmed(body: Body, *, warming_k: float, heat: CoverHeat = USUAL_HEAT) -> Body:
    """The body with its cover warmer (cooler where negative): thicker and softer. A bare body stays as it is.

    The metal under the cover grows too, about 1e-5 per K of the radius: a tenth of the cover's growth, and left out
    because the frames that carry the axes grow with it.
    """
    if body.cover is None:
        return body
    growth = thermal_growth_mm(body.cover.thickness_mm, warming_k=warming_k, expansion_per_k=heat.expansion_per_k)
    softer = body.cover.hardness_shore_a - heat.softening_shore_a_per_k * warming_k
    return body.grown(growth).at_hardness(max(softer, 0.0))


def swollen(body: Body, *, volume_part: float) -> Body:
    """The body with its cover swollen by a part of its volume, or shrunk where negative."""
    return body if body.cover is None else body.grown(swelling_mm(body.cover.thickness_mm, volume_part=volume_part))


def stripes_round_the_turn(nip: Nip, *, engagement_mm: float, run_out_mm: float, angles_deg: Array) -> Array:
    """Stripe at each angle from the high spot of a roller that runs out; 0 where the surfaces part or hardly touch.

    Hardly: a stripe under a hundredth of the cover's thickness, where the law begins. ``run_out_mm`` is what a dial
    shows over a whole turn: the axis is half of it off. Not a number where the stripe is wider than the law goes.
    """
    engagements = engagement_mm + 0.5 * run_out_mm * np.cos(np.radians(angles_deg))
    stripes = squeezes(nip, Known.ENGAGEMENT, engagements).stripe_mm
    begins = squeezes(nip, Known.STRIPE, np.array(stripe_range_mm(nip)[:1])).engagement_mm[0]
    return np.where(engagements < begins, 0.0, stripes)
