"""What a reading of each key means: the film it makes, as far as anybody knows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.press.fountain import Fountain
from filmsplit.press.words import KeyKind

FULL_UM = 60.0
"""Film of a fully open key where nobody knows: keys are built for some tens of um (memory)."""

SETTABLE = {KeyKind.NUMBERED: 0.5, KeyKind.UNNUMBERED: 0.125, KeyKind.STEPPED: 1.0}
"""What can be set on purpose: half a division, an eighth of a turn, a whole step (common practice)."""


class Origin(Enum):
    """Where the film of a division comes from: the slug of the message that says so."""

    GIVEN = "setup-gain-given"
    LEARNED = "setup-gain-learned"
    ASSUMED = "setup-gain-assumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyScale:
    """Readings of the keys of one fountain, in divisions, steps or turns.

    ``zeros`` are the readings at which each key is just closed, ``gains_um`` the film per division of each, by zone.
    A key shuts at its zero and can be read to ``highest``. ``settable`` is the smallest difference anybody sets.
    """

    kind: KeyKind
    highest: float
    zeros: tuple[float, ...]
    gains_um: tuple[float, ...]
    settable: float
    origin: Origin

    def __post_init__(self) -> None:
        ordered = all(zero < self.highest for zero in self.zeros)
        if len(self.zeros) != len(self.gains_um) or min(self.gains_um) <= 0 or self.settable <= 0 or not ordered:
            raise ValueError("needs one zero below the largest reading and one gain above 0 for each key")

    @property
    def ranges(self) -> Array:
        """Divisions from just closed to the largest reading, by zone."""
        return np.asarray(self.highest - np.array(self.zeros), dtype=np.float64)

    @property
    def full_um(self) -> Array:
        """Film of each key when fully open."""
        return np.asarray(self.ranges * np.array(self.gains_um), dtype=np.float64)

    def told(self, unit: str) -> Problem:
        """What the scale rests on, as a message."""
        values = {"unit": unit, "film_um": float(np.mean(self.gains_um)), "full_um": float(self.full_um.mean())}
        return Problem(self.origin.value, values)


def key_scale(
    fountain: Fountain, *, zeros: tuple[float, ...] | None = None, gains_um: tuple[float, ...] | None = None
) -> KeyScale:
    """The scale of a fountain: with learned zeros and gains by zone, or as the press file has it, or assumed."""
    keys, zones = fountain.keys, len(fountain.zone_widths_mm)
    known = keys.film_um_per_division
    each = FULL_UM / (keys.highest - keys.lowest) if known is None else known
    origin = Origin.LEARNED if gains_um is not None else Origin.ASSUMED if known is None else Origin.GIVEN
    return KeyScale(
        kind=keys.kind,
        highest=keys.highest,
        zeros=(keys.lowest,) * zones if zeros is None else zeros,
        gains_um=(each,) * zones if gains_um is None else gains_um,
        settable=SETTABLE[keys.kind],
        origin=origin,
    )
