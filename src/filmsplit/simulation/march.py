"""Marching: the train turned step by step, many steps at a time.

Budget and print are summed from what is moved at feeds and at the sheet, never from the films.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand, load
from filmsplit.simulation.native_march import NativeMarch
from filmsplit.simulation.numpy_march import NumpyMarch
from filmsplit.simulation.state import State, stored_um_mm2
from filmsplit.simulation.train import Train
from filmsplit.simulation.work import Work, work_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Passing:
    """What passed while watched, by nip, side (a, b) and column: ink sums arriving and leaving, and their weights.

    A film is ink over weight: steps on a roller, steps times coverage on plate and blanket. ``ductors`` holds the
    mean film of each ductor by column.
    """

    arriving: Array
    leaving: Array
    weight: Array
    sheet_um: Array
    ductors: dict[int, Array]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marched:
    """A march: where the ink is now, and what came in and went out.

    ``fed`` and ``printed`` are by revolution and column, in um x cells. ``sheet_um`` is the film per image area on
    the last sheet, by plate row and column.
    """

    state: State
    fed: Array
    printed: Array
    sheet_um: Array
    image_cells: float
    cell_mm2: float
    stored_before_um_mm2: float
    stored_after_um_mm2: float
    passing: Passing | None = None

    @property
    def fed_um_mm2(self) -> float:
        return float(self.fed.sum()) * self.cell_mm2

    @property
    def printed_um_mm2(self) -> float:
        return float(self.printed.sum()) * self.cell_mm2

    @property
    def sheet_means_um(self) -> Array:
        """Mean film per image area of each revolution's print; 0 where nothing is to be printed."""
        return np.asarray(self.printed.sum(axis=1) / max(self.image_cells, 1e-300))

    @property
    def budget_gap_um_mm2(self) -> float:
        """Fed less printed less the change of what is stored: rounding, if no ink is lost."""
        return self.fed_um_mm2 - self.printed_um_mm2 - (self.stored_after_um_mm2 - self.stored_before_um_mm2)


def march(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train,
    demand: Demand,
    *,
    state: State,
    revolutions: int,
    watch: bool = False,
    native: bool = True,
    cores: int = 1,
) -> Marched:
    """Turn the train for whole revolutions of the plate from ``state``, which is left as it is.

    ``watch`` also sums the films passing every nip. The C kernel is used where it was built and knows the laws asked
    for; ``native=False`` marches with NumPy all the same. The C kernel takes ``cores`` processor cores, which gains on
    large grids where they are free; the result is the same to the bit. NumPy takes one.
    """
    loaded = load(train, demand)
    work = work_of(train, loaded, state=state, revolutions=revolutions, watch=watch)
    last = state.step + revolutions * train.grid.rows
    if native and NativeMarch.possible(work):
        NativeMarch(work, cores=cores).march(last)
    else:
        NumpyMarch(work).march(last)
    after = State(last, work.films)
    return Marched(
        state=after,
        fed=work.fed,
        printed=work.printed,
        sheet_um=work.sheet,
        image_cells=float(loaded.cover.sum(dtype=np.float64)),
        cell_mm2=train.grid.cell_mm2,
        stored_before_um_mm2=stored_um_mm2(train, state, loaded.cover),
        stored_after_um_mm2=stored_um_mm2(train, after, loaded.cover),
        passing=_passing(work, revolutions),
    )


def _passing(work: Work, revolutions: int) -> Passing | None:
    seen = work.watched
    if seen is None:
        return None
    steps = revolutions * work.train.grid.rows
    return Passing(
        arriving=seen.arriving,
        leaving=seen.leaving,
        weight=seen.weight,
        sheet_um=seen.sheet / revolutions,
        ductors={loop: films / steps for loop, films in seen.ductors.items()},
    )
