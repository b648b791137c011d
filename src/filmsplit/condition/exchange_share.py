"""From a stripe to the part of the ink that a contact exchanges: an assumption, with a band, and no published law.

A stripe of its target width or wider exchanges everything (1). A narrower one is assumed to exchange less, by a
strength times what it lacks of its target: from 0, no effect of the width at all, to 1, in proportion to the width.
Where there is no mark the surfaces part and nothing is exchanged, whatever the strength. No source is known for
anything between; a shop's own run-down test replaces it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum


class Strength(Enum):
    """How strongly a narrow stripe is assumed to tell on the exchange of ink."""

    NONE = "none"
    MIDDLING = "middling"
    STRONG = "strong"

    @property
    def part(self) -> float:
        return {Strength.NONE: 0.0, Strength.MIDDLING: 0.5, Strength.STRONG: 1.0}[self]


@dataclass(frozen=True, slots=True)
class ShareAt:
    """The share at a place along the face: 0 at the operator's end, 1 at the gear end."""

    along: float
    share: float


def exchange_share(width_mm: float, *, target_mm: float, strength: Strength) -> float:
    """The share (0..1) that a stripe of ``width_mm`` exchanges. Raises ``ValueError`` for a target that is no width."""
    if not target_mm > 0.0:
        raise ValueError("a target must be a width")
    if not width_mm > 0.0:
        return 0.0
    return 1.0 - strength.part * max(0.0, 1.0 - width_mm / target_mm)


def shares_along(widths_mm: Sequence[float], *, target_mm: float, strength: Strength) -> tuple[ShareAt, ...]:
    """The shares at evenly spread places, from the operator's side. Raises ``ValueError`` for fewer than two widths."""
    if len(widths_mm) < 2:
        raise ValueError("a stripe along the face has two ends")
    last = len(widths_mm) - 1
    return tuple(
        ShareAt(number / last, exchange_share(width, target_mm=target_mm, strength=strength))
        for number, width in enumerate(widths_mm)
    )
