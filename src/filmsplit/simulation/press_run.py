"""A run of the press in legs: keys, sweep, plates and what is on may change from one leg to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grams import Budget, grams
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.state import State, clean_plate, stored_um_mm2
from filmsplit.simulation.train import Train


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """So many turns of the plate under one demand.

    ``wash`` cleans plate and blanket first; with a coverage other than that of the leg before this is done anyway.
    ``feeding`` is off where the ductor is held off or the fountain roller lifted: no ink comes in or goes back.
    """

    demand: Demand
    revolutions: int
    wash: bool = False
    feeding: bool = True


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Run:
    """What came of the legs, in their order. ``washed_um_mm2`` is what was washed off before each."""

    legs: tuple[Marched, ...]
    washed_um_mm2: tuple[float, ...]
    stored_before_um_mm2: float

    @property
    def state(self) -> State:
        """Where the ink is at the end."""
        return self.legs[-1].state

    @property
    def sheet_means_um(self) -> Array:
        """Mean film per image area of each revolution's print; 0 where nothing is printed."""
        return np.concatenate([leg.sheet_means_um for leg in self.legs])

    def budget(self, *, density_g_per_cm3: float) -> Budget:
        """The budget over all legs."""
        unit = grams(1.0, density_g_per_cm3=density_g_per_cm3)
        return Budget(
            sheets=sum(leg.fed.shape[0] for leg in self.legs),
            fed_g=sum(leg.fed_um_mm2 for leg in self.legs) * unit,
            printed_g=sum(leg.printed_um_mm2 for leg in self.legs) * unit,
            washed_g=sum(self.washed_um_mm2) * unit,
            stored_before_g=self.stored_before_um_mm2 * unit,
            stored_after_g=self.legs[-1].stored_after_um_mm2 * unit,
        )


def run(train: Train, legs: Sequence[Leg], *, state: State) -> Run:
    """March the legs one after another from ``state``, taken to come from the coverage of the first leg.

    ``ValueError`` where there is no leg.
    """
    if not legs:
        raise ValueError("a run needs at least one leg")
    done: list[Marched] = []
    washed: list[float] = []
    cover = legs[0].demand.coverage
    before = stored_um_mm2(train, state, cover)
    for leg in legs:
        state, lost = _washed(train, state, leg=leg, cover=cover)
        cover = leg.demand.coverage
        washed.append(lost)
        turning = train if leg.feeding else without_feed(train)
        done.append(march(turning, leg.demand, state=state, revolutions=leg.revolutions))
        state = done[-1].state
    return Run(legs=tuple(done), washed_um_mm2=tuple(washed), stored_before_um_mm2=before)


def _washed(train: Train, state: State, *, leg: Leg, cover: Array) -> tuple[State, float]:
    """The state a leg starts from, and what was washed off for it."""
    if not leg.wash and np.array_equal(leg.demand.coverage, cover):
        return state, 0.0
    clean = clean_plate(train, state)
    return clean, stored_um_mm2(train, state, cover) - stored_um_mm2(train, clean, cover)


def without_feed(train: Train) -> Train:
    """The train with every feed parted from it: feeds that reach no column."""
    return replace(train, feeds=tuple(replace(feed, end=feed.first) for feed in train.feeds))
