"""Settings put back into the engine, and what could have been reached: neither by the plan's own word."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.settings import Settings
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import settle
from setup.conftest import FloatArray


def printed(response: SweepResponse, settings: Settings, films_um: FloatArray) -> FloatArray:
    """Print by zone of a fresh, finer settle and one more common period marched from it: nothing of the plan's own."""
    zoned = response.zoned.swept(settings.plan.sweep_mm)
    demand = zoned.keyed(films_um)
    solution = settle(zoned.train, demand, accuracy=2e-4, throw=True)
    assert solution.state is not None
    period = solution.statistics.common_period
    done = march(zoned.train, demand, state=solution.state, revolutions=period)
    return zoned.films_of(done.printed.sum(axis=0) / period)


def reachable(response: SweepResponse, settings: Settings) -> FloatArray:
    """Zones that a solver of another kind brings within 0.2 % of the aim under the same limits."""
    zoned, limits = response.zoned, settings.limits
    open = np.flatnonzero(zoned.image_cells > 0)
    blade = films_per_opening(settings.scale.full_um, coupling=limits.coupling)
    prints = (settings.plan.response @ blade)[np.ix_(open, open)] / settings.aim_um
    weight = zoned.image_cells[open] / zoned.image_cells.sum()

    def cost(x: FloatArray) -> tuple[float, FloatArray]:
        off = prints @ x - 1.0
        return float(1e3 * weight @ off**2), 2e3 * prints.T @ (weight * off)

    apart = np.diff(np.eye(open.size), axis=0)[np.diff(open) == 1]
    rows = np.vstack([apart, -apart])
    found = minimize(
        cost,
        np.full(open.size, 0.5),
        jac=True,
        bounds=[(limits.lowest, limits.highest)] * open.size,
        constraints={"type": "ineq", "fun": lambda x: limits.step + rows @ x, "jac": lambda _: rows},
        method="SLSQP",
        options={"ftol": 1e-10, "maxiter": 500},
    )
    # Its own flag says little at the last digits; that two ways end at one value says more.
    assert found.fun == pytest.approx(cost(settings.plan.keys.openings[open])[0], abs=1e-3)
    can = np.zeros(len(zoned.zones), dtype=bool)
    can[open] = np.abs(prints @ found.x - 1.0) < 2e-3
    return can
