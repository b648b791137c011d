"""What leaves a nip: the share of the ink that stays on each surface.

Two surfaces of equal speed share the sum of their films. The usual statement is "half and half" (common practice);
where the speeds differ the films leave in a ratio that was computed and measured for rigid rollers in a flooded nip.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Film = TypeVar("Film", float, Array)

EVEN_SHARE = 0.5
"""Each surface keeps half of the ink that meets in the nip (common practice)."""

SPEED_EXPONENT = 0.65
"""Films leave a nip in the ratio (speed ratio)^0.65. Coyle, Macosko & Scriven, J. Fluid Mech. 171 (1986) 183-207."""


def split(a: Film, b: Film, *, share: float = EVEN_SHARE) -> tuple[Film, Film]:
    """Films leaving a rolling nip: ``share`` of the total stays on the first surface, the rest on the second."""
    total = a + b
    return share * total, (1.0 - share) * total


def imperfect_split(a: Film, b: Film, *, share: float = EVEN_SHARE, contact: Film) -> tuple[Film, Film]:
    """The same where the surfaces touch badly: both go the fraction ``contact`` (0..1) of the way to the full split."""
    moved = contact * (share * b - (1.0 - share) * a)
    return a + moved, b - moved


def film_ratio(speed_ratio: float) -> float:
    """Film on a surface over film on its partner, both leaving the nip, at (own speed / partner's speed)."""
    return float(speed_ratio**SPEED_EXPONENT)


def volume_share(speed_ratio: float) -> float:
    """Share of the ink volume (film x own speed) that stays on the surface whose speed is ``speed_ratio`` times
    its partner's: r^1.65 / (1 + r^1.65). One half at equal speeds."""
    weight = speed_ratio * film_ratio(speed_ratio)
    return weight / (1.0 + weight)


def plate_split(form: Film, plate: Film, *, coverage: Film, share: float = EVEN_SHARE) -> tuple[Film, Film]:
    """Form roller on a plate cell of which the part ``coverage`` is image.

    ``plate`` is the film per image area. On image both leave with their share of the total, on non-image the form
    roller keeps its film; a cell without image holds none.
    """
    total = form + plate
    image = np.sign(coverage)  # 0 where there is no image, otherwise 1
    return form + coverage * (share * total - form), image * (1.0 - share) * total
