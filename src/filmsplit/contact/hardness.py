"""From a durometer's reading to the modulus of a cover, by a correlation that is always named."""

from __future__ import annotations

from enum import Enum

from filmsplit.messages import Problem, Refusal, label

SPRING_AT_ZERO_N, SPRING_PER_POINT_N = 0.55, 0.075
RELIABLE_SHORE_A = (20.0, 90.0)
"""Outside these readings of a type A durometer another scale should be used: ASTM D2240 / ISO 48-4 (memory)."""
MOST_SHORE_A = 95.0
"""No correlation is asked beyond this: Gent's runs to infinity at 100."""


def spring_n(shore_a: float) -> float:
    """Force of a type A durometer's spring at a reading: 0.55 + 0.075 S newton. ASTM D2240 / ISO 48-4 (memory)."""
    return SPRING_AT_ZERO_N + SPRING_PER_POINT_N * shore_a


def is_reliable(shore_a: float) -> bool:
    """Whether a type A durometer may be believed at this reading. Others are kept, but no verdict rests on them."""
    low, high = RELIABLE_SHORE_A
    return low <= shore_a <= high


def gent_mpa(shore_a: float) -> float:
    """Young's modulus: Gent, Trans. Inst. Rubber Ind. 34 (1958) 46, a blunt point on a half space."""
    return 0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a))


def ruess_mpa(shore_a: float) -> float:
    """Young's modulus: log10 E = 0.0235 S - 0.6403, Ruess's correlation (memory). The logarithm is the decimal one."""
    return float(10.0 ** (0.0235 * shore_a - 0.6403))


class Correlation(Enum):
    """How hardness becomes a modulus. The two agree within 10 % only at 20 to 35 Shore A."""

    GENT = "gent"
    RUESS = "ruess"

    @property
    def text(self) -> str:
        """Its name, as every statement that rests on it gives it."""
        return label(f"correlation.{self.value}")

    def modulus_mpa(self, shore_a: float) -> float:
        """Young's modulus at a hardness of 0 to 95 Shore A. Refuses what is outside, or no number."""
        if not 0.0 <= shore_a <= MOST_SHORE_A:
            raise Refusal(Problem("hardness-off-the-scale", {"shore_a": shore_a, "most": MOST_SHORE_A}))
        return gent_mpa(shore_a) if self is Correlation.GENT else ruess_mpa(shore_a)
