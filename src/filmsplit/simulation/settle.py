"""The settled periodic state, solved directly.

The map that turns the train for one common period has the settled state as its fixed point. Marching alone gets there
slowly: what decays slowly are films that differ from arc to arc and from place to place across, and just those the
mean films of the network know. So each pass is: march one period; let the mean network say which films would stop the
change that is left; mix with the last passes (Anderson). Passes are first made on longer cells, where they cost little,
and the films carried over. The operator is the marching kernel and nothing else, so what is settled is what marching
would come to.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import Answers, answers_of
from filmsplit.simulation.demand import Demand, not_finite
from filmsplit.simulation.level import LONG, SHOWS, Level, Pass
from filmsplit.simulation.march import march
from filmsplit.simulation.nested import carried, coarser
from filmsplit.simulation.network import DuctorFeed
from filmsplit.simulation.period import common_period, cycles_of
from filmsplit.simulation.pulling import pull_error
from filmsplit.simulation.solution import NotSettledError, Outcome, Provenance, Solution, Statistics
from filmsplit.simulation.state import State
from filmsplit.simulation.train import Train

ACCURACY = 1e-3
"""Largest error on image cells over the mean image film that counts as settled, unless the caller says otherwise."""

MOST_PERIODS = 100

MOST_COARSER_PERIODS = 8
"""Where the coarser grid is not settled by then, the finer one starts from what it has."""

COARSER_ACCURACY = 2e-3
"""The coarser grid need not be settled better than this: it is wrong by as much itself."""

FADING_CYCLES = 2
"""Ductor cycles (revolutions without a ductor) in which what is new on the finer grid fades before it is looked at."""

WATCHED_AT_ONCE = 12
"""Revolutions up to which the first period on the grid asked for is watched, in case it settles. Watching costs most of
a period more, and no longer one of the demo presses settled at once."""

PLAIN_PERIODS = 2
"""Periods marched without correction before a short one is called settled."""

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

    ``start`` begins from a known state (taken to stand at travel 0) instead of the mean films; ``most_periods`` may be
    marched on the grid asked for; ``columns`` limits the means of the answers to a width (the sheet's, unless told
    otherwise); ``progress`` is told the periods marched on either grid and the error estimate. With ``throw`` anything
    but success is raised.
    """
    solving = _Solving(train, demand, accuracy=accuracy, columns=columns)
    solving.progress = progress
    solution = solving.unsound(start) or solving.run(start, most_periods=most_periods)
    if throw and not solution.ok:
        raise NotSettledError(solution)
    return solution


class _Solving:
    """The passes of one solve, and what is kept about them."""

    progress: Callable[[int, float], None] | None = None

    def __init__(
        self, train: Train, demand: Demand, *, accuracy: float, columns: tuple[int, int] | None = None
    ) -> None:
        self._train, self._demand, self._accuracy, self._columns = train, demand, accuracy, columns
        period = common_period(cycles_of(train.network))
        self._turns = period.revolutions if period is not None else 0
        self._errors: list[float] = []
        self._coarser_periods, self._work, self._fading = 0, 0.0, 0
        self._pull_error, self._follow_from = 0.0, accuracy

    def unsound(self, start: State | None) -> Solution | None:
        """A solution that says why, where the question has no answer."""
        bad = not_finite(self._demand)
        if start is not None and not np.all(np.isfinite(start.films)):
            bad.append("start")
        if bad:
            return self._solution(Outcome.INPUT_NOT_FINITE, None, detail=", ".join(bad))
        if not self._turns:
            raise ValueError("the cycles have no common period: compile the network of with_common_period")
        return None

    def run(self, start: State | None, *, most_periods: int) -> Solution:
        level = Level(self._train, self._demand, self._turns)
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # such results are named below
            films = level.mean.films
        if not np.all(np.isfinite(films)) or films.max(initial=0.0) > ENDLESS * _largest_supply(level):
            return self._solution(Outcome.NO_SETTLED_STATE, None)
        self._pull_error = pull_error(level.mean)
        first, near = (start.films, True) if start is not None else self._first(level)
        passes = level.passes(first, accuracy=self._accuracy, watch=near and self._turns <= WATCHED_AT_ONCE)
        del first
        while True:
            done = next(passes)
            self._errors.append(done.error)
            self._tell(done.error)
            if not np.isfinite(done.error):
                return self._solution(Outcome.OUT_OF_RANGE, done)
            if (
                self._turns < SHOWS
                and done.error <= self._follow_from
                and len(self._errors) + PLAIN_PERIODS <= most_periods
            ):
                done = self._followed(level, done)
                if self._is_settled(done):
                    return self._solution(Outcome.SETTLED, done)
            elif self._turns >= SHOWS and self._is_settled(done):
                return self._solution(Outcome.SETTLED, done)
            if len(self._errors) >= most_periods:
                return self._solution(Outcome.NOT_SETTLED, done)
            del done  # its films would still take room while the next period is marched

    def _followed(self, level: Level, done: Pass) -> Pass:
        """The last word on a short period: what the train forgets slowly does not show in one. It costs two more."""
        followed = level.followed(done)
        self._errors += [followed.error] * PLAIN_PERIODS
        # Where the passes see only a part of what is left, they must come nearer before it is worth while again.
        self._follow_from *= float(np.clip(self._accuracy / max(followed.error, self._accuracy), 0.1, 0.5))
        return followed

    def _first(self, level: Level) -> tuple[Array, bool]:
        """Films to begin with, and whether they are near: carried over from a coarser grid where there is one.

        A short common period is marched too quickly for a coarser grid to save anything.
        """
        given = coarser(level.mean, self._demand) if self._turns >= LONG else None
        if given is None:
            return level.mean.state().films, False
        self._fading = min(self._turns, _fading(self._train))
        coarse = Level(*given, revolutions=self._turns, base=-self._fading % self._turns)
        films = self._settled_roughly(coarse)
        if not np.all(np.isfinite(films)):
            return level.mean.state().films, False
        films = carried(films, coarse=coarse.train, fine=self._train, loaded=(coarse.loaded, level.loaded))
        state = State(coarse.base * self._train.grid.rows, films)
        return march(self._train, self._demand, state=state, revolutions=self._fading).state.films, True

    def _settled_roughly(self, coarse: Level) -> Array:
        accuracy = max(self._accuracy, COARSER_ACCURACY)
        for done in coarse.passes(coarse.mean.state().films, accuracy=0.0, watch=False):
            self._coarser_periods += 1
            self._work += self._turns * coarse.train.grid.rows / self._train.grid.rows
            self._tell(done.error)
            if not done.error > accuracy or self._coarser_periods == MOST_COARSER_PERIODS:
                break
        return done.marched.state.films

    def _tell(self, error: float) -> None:
        if self.progress is not None:
            self.progress(self._coarser_periods + len(self._errors), error)

    def _is_settled(self, done: Pass) -> bool:
        """Near enough, what is fed is printed, and the films that passed are known."""
        return (
            done.error <= self._accuracy
            and done.fed_less_printed <= self._accuracy
            and done.marched.passing is not None
        )

    def _answers(self, done: Pass | None) -> Answers | None:
        if done is None or done.marched.passing is None:
            return None
        return answers_of(self._train, self._demand, marched=done.marched, columns=self._columns)

    def _solution(self, outcome: Outcome, done: Pass | None, *, detail: str = "") -> Solution:
        revolutions = len(self._errors) * self._turns + self._fading
        return Solution(
            outcome=outcome,
            answers=self._answers(done),
            state=State(0, done.marched.state.films) if done is not None else None,
            statistics=Statistics(
                periods=len(self._errors),
                revolutions=revolutions,
                common_period=self._turns,
                error=self._errors[-1] if self._errors else float("nan"),
                error_history=tuple(self._errors),
                fed_less_printed=done.fed_less_printed if done is not None else float("nan"),
                coarser_periods=self._coarser_periods,
                work_revolutions=revolutions + self._work,
                pull_error=self._pull_error,
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


def _largest_supply(level: Level) -> float:
    return max([float(np.max(s, initial=0.0)) for s in level.loaded.supplies], default=0.0) or 1.0


def _fading(train: Train) -> int:
    """Revolutions in which what is new on a finer grid fades."""
    cycles = [feed.cycle_rev for feed in train.network.feeds if isinstance(feed, DuctorFeed)]
    return math.ceil(FADING_CYCLES * max(cycles, default=1.0))
