"""A hidden press run down: its truth drawn, its patches read with errors. Invented."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.density import DensityCurve, solid_density
from filmsplit.setup.run_down import RunDownPlan, run_down
from setup.conftest import FloatArray

CURVE = DensityCurve(2.0, 1.1)


@dataclass(frozen=True)
class HiddenRunDown:
    """What is true, and what was read: normal errors of 0.01, and two slips of 0.1."""

    contacts: FloatArray
    stored_um_mm2: float
    densities: list[float | None]


def hidden_run_down(plan: RunDownPlan, seed: int) -> HiddenRunDown:
    """Contacts 0.85 +- 0.15 (none above 1), split +- 0.03, the film of the patch 0.9 to 1.2 um."""
    rng = np.random.default_rng(seed)
    contacts = np.clip(rng.normal(0.85, 0.15, len(plan.forms)), 0.2, 1.0)
    true = run_down(plan, split=float(rng.normal(0.0, 0.03)), contacts=[float(each) for each in contacts])
    level = float(rng.uniform(0.9, 1.2))
    densities = solid_density(level * true.films, saturation=CURVE.saturation, rate=CURVE.rate)
    densities = densities + rng.normal(0.0, 0.01, plan.sheets)
    densities[rng.choice(plan.sheets, 2, replace=False)] += rng.choice([-0.1, 0.1], 2)
    return HiddenRunDown(contacts, level * true.stored_um_mm2, [float(each) for each in densities])
