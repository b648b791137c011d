"""How the sheet follows a change: start-up from empty, and steps of keys, sweep or coverage from one settled print
to another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import Answers, image_cells
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.march import march
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, clean_plate, empty
from filmsplit.simulation.train import Train

MOST_SHEETS = 2000
"""A change that is not made after so many sheets is reported as such, unless the caller waits longer."""

ENOUGH = 0.99
"""Part of the change after which nobody asks for more sheets."""

AT_ONCE = 8
"""Sheets are followed a period at a time, later by this part of those that went before: each march has its price."""

NO_CHANGE = 1e-9
"""A change of the settled print smaller than this part of it is none: there is nothing to follow."""


class Ended(Enum):
    """Why no more sheets were printed."""

    ENOUGH = "enough"
    MOST_SHEETS = "most sheets"
    NO_CHANGE = "no change"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Response:
    """Sheet means after a step, sheet by sheet, and the settled mean they go to.

    ``averaged_um`` is the mean over the last common period at each sheet, sheets before the step counting as
    ``from_film_um``. ``sheets_63`` and ``sheets_95`` are the first sheets (from 1) at which it has made that part
    of the change; ``None`` where ``ended`` says why it had not: nothing is extrapolated.
    """

    sheets_um: Array
    averaged_um: Array
    settled_um: float
    from_film_um: float
    common_period: int
    ended: Ended

    @property
    def sheets_63(self) -> int | None:
        return self.sheets_to(0.63)

    @property
    def sheets_95(self) -> int | None:
        return self.sheets_to(0.95)

    @property
    def change_made(self) -> Array:
        """Part of the change that the averaged mean has made at each sheet; 0 where there is none to make."""
        change = self.settled_um - self.from_film_um
        if self.ended is Ended.NO_CHANGE:
            return np.zeros(self.averaged_um.shape)
        return np.asarray((self.averaged_um - self.from_film_um) / change)

    def sheets_to(self, part: float) -> int | None:
        """First sheet at which the averaged mean has made ``part`` of the change."""
        there = np.flatnonzero(self.change_made >= part)
        return int(there[0]) + 1 if there.size else None


def start_up(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train,
    demand: Demand,
    *,
    solution: Solution,
    state: State | None = None,
    from_film_um: float = 0.0,
    most_sheets: int = MOST_SHEETS,
    enough: float = ENOUGH,
    progress: Callable[[int, float], None] | None = None,
) -> Response:
    """The print from ``state`` (default: no ink anywhere) to the settled ``solution`` of the same demand.

    ``from_film_um`` is what the sheets before carried. ``progress`` is told the sheets printed and the part of the
    change made; no more are printed once it is ``enough``. ``ValueError`` where the solution is not settled: there is
    then nothing to go to.
    """
    settled, columns = _settled(solution).sheet_mean_um, _settled(solution).columns
    across, image = slice(*columns), image_cells(train, demand, columns=columns)
    period = solution.statistics.common_period
    state = empty(train) if state is None else state
    change = settled - from_film_um
    sheets = np.zeros(0)
    averaged = np.zeros(0)
    ended = Ended.NO_CHANGE if abs(change) <= NO_CHANGE * abs(settled) else Ended.MOST_SHEETS
    while ended is Ended.MOST_SHEETS and sheets.size < most_sheets:
        turns = period * max(1, sheets.size // (AT_ONCE * period))
        done = march(train, demand, state=state, revolutions=min(turns, most_sheets - sheets.size))
        state = done.state
        before, printed = sheets.size, done.printed[:, across].sum(axis=1) / max(image, 1e-300)
        sheets = np.concatenate([sheets, printed])
        averaged = _averaged(sheets, before=from_film_um, period=period)
        made = (averaged - from_film_um) / change
        there = [end for end in range(before + period, sheets.size + 1, period) if made[end - 1] >= enough]
        if there:
            ended, sheets, averaged = Ended.ENOUGH, sheets[: there[0]], averaged[: there[0]]
        if progress is not None:
            progress(sheets.size, float(made[sheets.size - 1]))
    return Response(
        sheets_um=sheets,
        averaged_um=averaged,
        settled_um=settled,
        from_film_um=from_film_um,
        common_period=period,
        ended=ended,
    )


def step(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train,
    demand: Demand,
    *,
    before: Solution,
    solution: Solution,
    new_plate: bool = False,
    most_sheets: int = MOST_SHEETS,
    enough: float = ENOUGH,
    progress: Callable[[int, float], None] | None = None,
) -> Response:
    """The print from one settled solution, ``before``, to that of a changed ``demand``: other keys, sweep, coverage.

    ``new_plate`` washes plate and blanket at the step; a changed coverage needs it (model of the plate).
    """
    was = _settled(before)
    assert before.state is not None
    state = clean_plate(train, before.state) if new_plate else before.state
    return start_up(
        train,
        demand,
        solution=solution,
        state=state,
        from_film_um=was.sheet_mean_um,
        most_sheets=most_sheets,
        enough=enough,
        progress=progress,
    )


def _settled(solution: Solution) -> Answers:
    if not solution.ok or solution.answers is None:
        raise ValueError(f"not settled ({solution.outcome.value}): a response needs the print it goes to")
    return solution.answers


def _averaged(sheets: Array, *, before: float, period: int) -> Array:
    """Mean over the last ``period`` sheets at each sheet; those before the first carried ``before``."""
    sums = np.cumsum(np.concatenate([np.full(period, before), sheets]))
    return np.asarray((sums[period:] - sums[:-period]) / period)
