"""Where the ink is: films of every cell, in an order that does not depend on how far the rollers have turned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.train import Train


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """Films after ``step`` steps. Row ``k`` of a loop is the cell that stands ``k`` cells *before* its origin.

    Films are volumes per press travel (film x surface speed); plate and blanket films are per image area.
    """

    step: int
    films: Array

    def of(self, train: Train, loop: str) -> Array:
        """Film in um of one loop, first row the cell at its origin, then against the rotation."""
        cell_loop = train.loops[train.loop_index(loop)]
        return np.asarray(self.films[cell_loop.rows] / cell_loop.speed, dtype=np.float64)


def empty(train: Train) -> State:
    """No ink anywhere."""
    return State(0, np.zeros((train.cells, train.grid.columns), dtype=train.dtype))


def uniform(train: Train, films_um: dict[str, float]) -> State:
    """One film per named loop over its face, nothing on the others."""
    state = empty(train)
    for id, film in films_um.items():
        loop = train.loops[train.loop_index(id)]
        state.films[loop.rows, loop.first : loop.end] = film * loop.speed
    return state


def clean_plate(train: Train, state: State) -> State:
    """The same with plate and blanket washed: what a new plate starts from."""
    films = state.films.copy()
    for loop in train.loops:
        if loop.role is not LoopRole.ROLLER:
            films[loop.rows] = 0.0
    return State(state.step, films)


def stored_um_mm2(train: Train, state: State, cover: Array) -> float:
    """All ink in the train, as film x area: rollers over their cells, plate and blanket over their image."""
    total = 0.0
    for loop in train.loops:
        films = state.films[loop.rows].astype(np.float64, copy=False)
        if loop.role is LoopRole.ROLLER:
            total += float(films.sum())
        else:
            lead = train.blanket_lead if loop.role is LoopRole.BLANKET else 0
            total += float((films * np.roll(cover, -(state.step + lead), axis=0)).sum())
    return total * train.grid.cell_mm2
