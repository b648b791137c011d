"""The settled periodic state, solved directly.

The map that turns the train for one common period has the settled state as its fixed point. Marching alone gets there
slowly: what decays slowly are films that differ from arc to arc and from place to place across, and just those the
mean films of the network know. So each pass is: march one period; let the mean network say which films would stop the
change that is left; mix with the last passes (Anderson). The operator is the marching kernel and nothing else, so what
is settled is what marching would come to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.numerics.anderson import Anderson
from filmsplit.simulation.answers import Answers, answers_of
from filmsplit.simulation.demand import Demand, load, not_finite
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.period import Period, common_period, cycles_of
from filmsplit.simulation.solution import NotSettledError, Outcome, Provenance, Solution, Statistics
from filmsplit.simulation.state import State
from filmsplit.simulation.train import Train

ACCURACY = 1e-3
"""Largest error on image cells over the mean image film that counts as settled, unless the caller says otherwise."""

MOST_PERIODS = 60

SAFETY = 2.0
"""The estimate is doubled: on trains measured against far tighter solves it fell short by up to 1.8 times."""

ROLLERS_TO_SHEET = 10.0
"""A roller's column may still change by this many times the accuracy in a period: several nips lie before the sheet."""

SLOWEST = 0.95
"""A column that shrinks less than to this part from pass to pass is reckoned to shrink to it."""

WATCH_FROM = 50.0
"""Films passing are summed once the error is within this many times the accuracy: the last pass must be watched."""

ENDLESS = 1e6
"""A mean film this many times larger than anything fed per turn has no way out."""


def settle(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train,
    demand: Demand,
    *,
    accuracy: float = ACCURACY,
    most_periods: int = MOST_PERIODS,
    start: State | None = None,
    columns: tuple[int, int] | None = None,
    throw: bool = False,
    progress: Callable[[int, float], None] | None = None,
) -> Solution:
    """The settled state of a train whose cycles divide a common period (see ``with_common_period``).

    ``start`` begins from a known state instead of the mean films; ``columns`` limits the means of the answers to a
    width (the sheet's, unless told otherwise); ``progress`` is told the periods marched and the
    error estimate. With ``throw`` anything but success is raised.
    """
    period = common_period(cycles_of(train.network))
    solving = _Solving(train, demand, period=period, accuracy=accuracy, columns=columns)
    solution = solving.unsound(start) or solving.run(start, most_periods=most_periods, progress=progress)
    if throw and not solution.ok:
        raise NotSettledError(solution)
    return solution


@dataclass(slots=True, eq=False)
class _Pass:
    """One period marched: the state before it, what came of it and the step that the mean network adds."""

    marched: Marched
    step: Array
    error: float


class _Solving:
    """The passes of one solve."""

    def __init__(
        self, train: Train, demand: Demand, *, period: Period, accuracy: float, columns: tuple[int, int] | None = None
    ) -> None:
        self._train, self._demand, self._period, self._accuracy = train, demand, period, accuracy
        self._columns = columns
        self._errors: list[float] = []
        self._left: Array | None = None

    def unsound(self, start: State | None) -> Solution | None:
        """A solution that says why, where the question has no answer."""
        bad = not_finite(self._demand)
        if start is not None and not np.all(np.isfinite(start.films)):
            bad.append("start")
        if bad:
            return self._solution(Outcome.INPUT_NOT_FINITE, None, detail=", ".join(bad))
        if self._period.pulled > 0:
            raise ValueError("the cycles have no common period: compile the network of with_common_period")
        return None

    def run(self, start: State | None, *, most_periods: int, progress: Callable[[int, float], None] | None) -> Solution:
        mean = MeanTrain(self._train, load(self._train, self._demand))
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # such results are named below
            films = mean.films
        if not np.all(np.isfinite(films)) or films.max(initial=0.0) > ENDLESS * self._largest_supply(mean):
            return self._solution(Outcome.NO_SETTLED_STATE, None)
        x = mean.state().films if start is None else start.films
        mixer = Anderson()
        for periods in range(1, most_periods + 1):
            done = self._pass(mean, x)
            self._errors.append(done.error)
            if progress is not None:
                progress(periods, done.error)
            if not np.isfinite(done.error):
                return self._solution(Outcome.OUT_OF_RANGE, done)
            if done.error <= self._accuracy and self._balanced(done) and done.marched.passing is not None:
                return self._solution(Outcome.SETTLED, done)
            x = mean.masked(mixer.next(x, done.step))
        return self._solution(Outcome.NOT_SETTLED, done)

    def _largest_supply(self, mean: MeanTrain) -> float:
        return max([float(np.max(s, initial=0.0)) for s in mean.loaded.supplies], default=0.0) or 1.0

    def _pass(self, mean: MeanTrain, x: Array) -> _Pass:
        turns = self._period.revolutions
        watch = bool(self._errors) and self._errors[-1] < WATCH_FROM * self._accuracy
        marched = march(self._train, self._demand, state=State(0, x), revolutions=turns, watch=watch)
        change = marched.state.films - x
        step = change + mean.correction(change, steps=turns * self._train.grid.rows)
        return _Pass(marched, step, self._error(mean, marched, correction=step - change, change=change))

    def _error(self, mean: MeanTrain, marched: Marched, *, correction: Array, change: Array) -> float:
        """Estimate of the error left on the sheet: what the blanket's image cells would still change.

        The marched state is nearer than the one before by its change; what is left is what the mean network asks for,
        and no less than the change itself where that is not yet small.
        """
        loop = self._train.loops[self._train.role_index(LoopRole.BLANKET) or 0]
        image = np.roll(mean.loaded.image, -self._train.blanket_lead, axis=0) > 0
        films = marched.state.films[loop.rows][image]
        if films.size == 0 or not films.any():
            return float(np.abs(change).max(initial=0.0) / max(np.abs(marched.state.films).max(initial=0.0), 1e-300))
        left = np.zeros(marched.state.films[loop.rows].shape)
        left[image] = np.maximum(np.abs(correction[loop.rows][image]), np.abs(change[loop.rows][image]))
        columns = left.max(axis=0)
        error = float((self._allowance(columns) * columns).max() / films.mean())
        self._left = columns
        return max(error, self._unrest(marched, change) / ROLLERS_TO_SHEET)

    def _unrest(self, marched: Marched, change: Array) -> float:
        """Largest change of a roller's mean film in any column over the period, as part of its mean film.

        A roller's end that hardly ever meets its partner changes slowly for long, and the sheet shows it late.
        """
        found = [0.0]
        for loop in self._train.loops:
            films, changes = marched.state.films[loop.rows], change[loop.rows]
            mean = float(films.mean(dtype=np.float64))
            if loop.role is LoopRole.ROLLER and mean > 0:
                found.append(float(np.abs(changes.mean(axis=0, dtype=np.float64)).max()) / mean)
        return max(found)

    def _allowance(self, columns: Array) -> Array:
        """What the estimate is multiplied by, column by column: more where the last pass hardly made it smaller.

        If every pass leaves the part r, all passes to come add up to 1 / (1 - r) of the present one.
        """
        if self._left is None:
            return np.full(columns.shape, SAFETY)
        slow = np.minimum(columns / np.maximum(self._left, 1e-300), SLOWEST)
        return np.asarray(np.maximum(SAFETY, 1.0 / (1.0 - slow)))

    def _balanced(self, done: _Pass) -> bool:
        """Whether what is fed is printed, within the accuracy."""
        return self._fed_less_printed(done.marched) <= self._accuracy

    @staticmethod
    def _fed_less_printed(marched: Marched) -> float:
        fed, printed = marched.fed_um_mm2, marched.printed_um_mm2
        largest = max(abs(fed), printed)
        return abs(fed - printed) / largest if largest > 0 else 0.0

    def _answers(self, done: _Pass | None) -> Answers | None:
        if done is None or done.marched.passing is None:
            return None
        return answers_of(self._train, self._demand, marched=done.marched, columns=self._columns)

    def _solution(self, outcome: Outcome, done: _Pass | None, *, detail: str = "") -> Solution:
        turns = self._period.revolutions
        return Solution(
            outcome=outcome,
            answers=self._answers(done),
            state=State(0, done.marched.state.films) if done is not None else None,
            statistics=Statistics(
                periods=len(self._errors),
                revolutions=len(self._errors) * turns,
                common_period=turns,
                error=self._errors[-1] if self._errors else float("nan"),
                error_history=tuple(self._errors),
                fed_less_printed=self._fed_less_printed(done.marched) if done is not None else float("nan"),
            ),
            provenance=Provenance(
                network=self._train.network.id,
                grid=self._train.grid,
                dtype=self._train.dtype,
                accuracy=self._accuracy,
                cycles_pulled=self._train.network.cycles_pulled,
                detail=detail,
            ),
        )
