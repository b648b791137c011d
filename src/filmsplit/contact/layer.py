"""How a cover bonded to a rigid core yields to a wave of pressure: incompressible, plane strain, no friction.

Both factors are on the half space's answer, ``2 / (E' k)`` for a wave of ``k`` radians per mm, and depend on
``wave = k h`` alone. They follow from Airy's equation with a fixed base and a surface free of shear; the first is the
kernel of Meijers, Appl. Sci. Res. 18 (1968) 353, and Jaffar, J. Mech. Phys. Solids 36 (1988) 401 and later papers
(citations from memory), at Poisson 0.5.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.numerics.log_curve import Array

_SERIES_BELOW = 0.02
"""Below this the closed form loses digits, and its first term is good to 2e-4 of itself, 1e-9 of one."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One bonded cover in a contact, without units: ``thickness`` over the unit of length, ``share`` of the yielding.

    ``share`` is its ``1/E'`` over the sum of all covers that meet in the contact.
    """

    thickness: float
    share: float


SINGLE = (Layer(1.0, 1.0),)
"""One soft roller on a hard partner; its cover is the unit of length."""


def dent(wave: Array) -> Array:
    """How far the surface goes in: (sinh 2w - 2w) / (cosh 2w + 1 + 2w^2). 1 for short waves, 2/3 w^3 for long ones."""
    fall = np.exp(-2.0 * wave)
    above = 1.0 - fall**2 - 4.0 * wave * fall
    below = 1.0 + fall**2 + 2.0 * fall * (1.0 + 2.0 * wave**2)
    return np.where(wave < _SERIES_BELOW, 2.0 / 3.0 * wave**3, above / below)


def stretch(wave: Array) -> Array:
    """How much the surface is stretched along the roller's travel, per wave number: 2w^2 / (cosh 2w + 1 + 2w^2)."""
    fall = np.exp(-2.0 * wave)
    return np.asarray(4.0 * wave**2 * fall / (1.0 + fall**2 + 2.0 * fall * (1.0 + 2.0 * wave**2)))
