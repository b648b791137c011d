"""How much of the blanket's ink the sheet takes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array


def walker_fetsko(x: Array | float, *, k: float, b: float, f: float) -> Array:
    """Ink taken by paper, g/m2, out of ``x`` g/m2 on the image before the impression.

    ``k`` smoothness (how fast contact becomes complete), ``b`` ink the surface immobilises (g/m2), ``f`` share of the
    free ink that the paper keeps. Walker & Fetsko, TAGA Proceedings 1955 (equation from memory).
    """
    amount = np.asarray(x, dtype=np.float64)
    immobilised = b * -np.expm1(-amount / b)
    touching = -np.expm1(-k * amount)
    return np.asarray(touching * (immobilised + f * (amount - immobilised)))


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedShare:
    """The sheet takes the share ``tau`` of what the blanket brings (default one half, common practice)."""

    tau: float = 0.5

    @property
    def is_linear(self) -> bool:
        return True

    def taken_um(self, blanket_um: Array) -> Array:
        return np.asarray(self.tau * blanket_um)


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkerFetsko:
    """Ink transfer by Walker and Fetsko's equation; it makes the train nonlinear. ``density`` of the ink in g/cm3."""

    k: float
    b: float
    f: float
    density: float = 1.0

    @property
    def is_linear(self) -> bool:
        return False

    def taken_um(self, blanket_um: Array) -> Array:
        grams = walker_fetsko(np.maximum(blanket_um, 0.0) * self.density, k=self.k, b=self.b, f=self.f)
        return np.asarray(grams / self.density)


Transfer = FixedShare | WalkerFetsko
