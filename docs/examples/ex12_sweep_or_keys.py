"""Sweep up, keys down: not the same print. The wider sweep brings less than it promises.

Twice the keys print twice the film, always. Twice the sweep prints less than twice, because the ductor comes back
with ink on it, and what it brings back it cannot take up: the more it feeds, the more comes back. So sweep doubled
and keys halved is a paler print, and the more so the more ink is asked for.

Limits: in proportion to the sweep where it is very small, to the keys anywhere. Source: each length of the ductor
goes to the mean of its own film and the fountain's; algebra.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from gallery import picture
from small_trains import at, chain, cut, demand_on, settled

from filmsplit.figures.axes import linear_axis
from filmsplit.simulation.network import DuctorFeed, Loop, Network, Nip

SWEEPS_MM = (0.5, 5.0, 10.0, 20.0, 30.0, 40.0)
FILM_UM, DUCTOR_MM, COVER = 100.0, 45.0, 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """Print over that of the smallest sweep: at the same keys, and with keys closed as far as the sweep was opened."""

    sweep_mm: float
    same_keys: float
    traded: float


def main() -> tuple[Fed, ...]:
    """A ductor, three rollers, an even tint."""
    first = _print(SWEEPS_MM[0], FILM_UM)
    return tuple(
        Fed(
            sweep_mm=sweep,
            same_keys=_print(sweep, FILM_UM) / first,
            traded=_print(sweep, FILM_UM * SWEEPS_MM[0] / sweep) / first,
        )
        for sweep in SWEEPS_MM
    )


def _ducted() -> Network:
    base = chain(3, plate_mm=120.0, roller_mm=37.0)
    feed = DuctorFeed(id="feed", fountain=at("ductor", 20.0), cycle_rev=2.0, dwell_feed_mm=100.0, dwell_train_mm=80.0)
    loops = (Loop(id="ductor", length_mm=DUCTOR_MM), *base.loops)
    nips = (Nip(a=at("ductor", 0.0), b=at("R1", 0.0)), *base.nips)
    return replace(base, loops=loops, nips=nips, feeds=(feed,))


def _print(sweep_mm: float, film_um: float) -> float:
    train = cut(_ducted(), round_mm=1.0)
    demand = replace(demand_on(train, np.full(train.grid.rows, COVER), film_um=film_um), sweeps_mm={"feed": sweep_mm})
    answers = settled(train, demand).answers
    assert answers is not None
    return answers.sheet_mean_um


def visualize(result: tuple[Fed, ...]) -> str:
    """Print against sweep, the keys closed as far."""
    least = SWEEPS_MM[0]
    return picture(
        "Sweep doubled and keys halved is a paler print",
        [("", [(each.sweep_mm, each.traded) for each in result])],
        says="keys closed as far as the sweep is opened: if the two could be traded, this would be a level line",
        x=linear_axis("sweep, mm", 0.0, max(SWEEPS_MM)),
        y=linear_axis(f"film on the sheet / that of a sweep of {least:g} mm", 0.0, 1.0),
    )


if __name__ == "__main__":
    for found in main():
        print(f"Sweep {found.sweep_mm:g} mm: {found.same_keys:.2f} at the same keys, {found.traded:.3f} traded.")
