"""The settled answer to a small source: y = M y + s, where M is the train's period map without its feeds.

For a fixed share on the sheet everything is linear in the films, so turning the train with nothing in the keys *is*
the linear part of the period map. The equation is solved like the settled state itself: march one period, let the mean
films of the network say what would stop the change that is left, mix with the last passes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.numerics.anderson import Anderson
from filmsplit.simulation.demand import Demand, load
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.period import common_period, cycles_of
from filmsplit.simulation.state import State
from filmsplit.simulation.train import Train

MOST_PERIODS = 60

SAFETY = 2.0
"""The error estimate is doubled, as that of the settled state is."""

SLOWEST = 0.95
"""Steps that shrink less than to this part from pass to pass are reckoned to shrink to it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """The films that answer a source and what one period prints of them, by column (um x cells, over the period).

    ``error`` is the largest change or correction left on image cells of the blanket, doubled, or more where it hardly
    shrinks from pass to pass. Trust it only if ``settled``.
    """

    films: Array
    printed: Array
    error: float
    periods: int
    settled: bool


class NotAnsweredError(Exception):
    """Raised where an answer that did not settle must not be used; carries it."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer
        super().__init__(f"after {answer.periods} periods still {answer.error:.3g} um off on the sheet")


@dataclass(eq=False)
class LinearPeriod:
    """The linear part of one period of a train under one demand: prepared once, asked as often as wanted."""

    train: Train
    demand: Demand

    def __post_init__(self) -> None:
        if not self.demand.transfer.is_linear:
            raise ValueError("with this law on the sheet the train is not linear")

    @cached_property
    def revolutions(self) -> int:
        """Turns of the plate in one period."""
        period = common_period(cycles_of(self.train.network))
        if period is None:
            raise ValueError("the cycles have no common period: compile the network of with_common_period")
        return period.revolutions

    @cached_property
    def _closed(self) -> Demand:
        return replace(self.demand, films_um={})

    @cached_property
    def mean(self) -> MeanTrain:
        """Mean films of the train, factorised once."""
        return MeanTrain(self.train, load(self.train, self._closed))

    def turned(self, films: Array) -> Marched:
        """One period from ``films`` with nothing in the keys."""
        return march(self.train, self._closed, state=State(0, films), revolutions=self.revolutions)

    def answer(
        self,
        source: Array,
        *,
        within_um: float,
        most_periods: int = MOST_PERIODS,
        between: Callable[[], None] = lambda: None,
    ) -> Answer:
        """Films ``y = M y + source`` to within ``within_um`` on the blanket's image cells.

        ``between`` is called after every period; what it raises ends the solve.
        """
        steps = self.revolutions * self.train.grid.rows
        films = self.mean.masked(source + self.mean.correction(source, steps=steps))
        mixer = Anderson()
        periods, before = 0, np.inf
        while True:
            done, periods = self.turned(films), periods + 1
            between()
            change = done.state.films + source - films
            step = change + self.mean.correction(change, steps=steps)
            left = self._largest(change, step)
            error, before = _allowance(left / before if before > 0 else 0.0) * left, left
            if not within_um < error < np.inf or periods == most_periods:
                break
            films = self.mean.masked(mixer.next(films, step))
        return Answer(
            films=done.state.films + source,
            printed=done.printed.sum(axis=0),
            error=error,
            periods=periods,
            settled=error <= within_um,
        )

    def _largest(self, *steps: Array) -> float:
        """Largest entry on image cells of the blanket; of all cells where there is no blanket."""
        number = self.train.role_index(LoopRole.BLANKET)
        if number is None:
            return float(max(np.abs(step).max(initial=0.0) for step in steps))
        rows = self.train.loops[number].rows
        image = np.roll(self.mean.loaded.image, -self.train.blanket_lead, axis=0) > 0
        return float(max(np.abs(step[rows][image]).max(initial=0.0) for step in steps))


def _allowance(part: float) -> float:
    """What the estimate is multiplied by: if every pass leaves this part, all to come add up to 1 / (1 - part)."""
    return max(SAFETY, 1.0 / (1.0 - min(part, SLOWEST)))
