"""What keys and settings may do: every limit a shop may want to change, in one place.

All of them are common practice, none is a law of nature; the blade's two numbers are memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from filmsplit.press.words import BladeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyLimits:
    """Limits of the keys, in parts of a key's range from just closed (0) to its largest reading (1).

    A key that is open stays between ``lowest`` and ``highest``: below, the errors of the blade weigh more than the
    setting; above, it no longer shapes the film. The mean of the open keys belongs between ``mean_lowest`` and
    ``mean_highest``, which the sweep sees to. Two open neighbours on one blade differ by no more than ``step``
    (``None``: as they like), and each neighbour's opening makes the part ``coupling`` of a zone's film. A zone is
    reached if it prints within ``reached`` (part) of the aim.
    """

    lowest: float = 0.10
    highest: float = 0.85
    mean_lowest: float = 0.40
    mean_highest: float = 0.60
    step: float | None = 0.35
    coupling: float = 0.08
    reached: float = 0.01

    def __post_init__(self) -> None:
        ordered = 0 <= self.lowest < self.highest <= 1 and 0 <= self.mean_lowest < self.mean_highest <= 1
        stepped = self.step is None or self.step > 0
        if not (ordered and stepped and 0 <= self.coupling < 0.5 and 0 < self.reached < 1):
            raise ValueError(f"limits that no key can keep: {self}")

    @property
    def mean_middle(self) -> float:
        return (self.mean_lowest + self.mean_highest) / 2


def limits_on(blade: BladeKind, limits: KeyLimits | None = None) -> KeyLimits:
    """The limits for a blade: the parts of a divided one do not hold each other."""
    limits = KeyLimits() if limits is None else limits
    return replace(limits, step=None, coupling=0.0) if blade is BladeKind.DIVIDED else limits
