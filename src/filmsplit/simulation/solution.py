"""What a solve returns: outcome, films, statistics and where they come from. Only one outcome means success."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.simulation.answers import Answers
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.state import State


class Outcome(Enum):
    """How a solve ended: the slug of the message that says so and what to try next."""

    SETTLED = "ink-settled"
    NOT_SETTLED = "ink-not-settled"
    NO_SETTLED_STATE = "ink-no-settled-state"
    OUT_OF_RANGE = "ink-out-of-range"
    INPUT_NOT_FINITE = "ink-input-not-finite"


@dataclass(frozen=True, slots=True, kw_only=True)
class Statistics:
    """How the solve went. Errors are the largest on image cells of the sheet over the mean image film, estimated.

    ``periods`` and ``revolutions`` were marched on the grid asked for, ``coarser_periods`` on a coarser one;
    ``work_revolutions`` is all of it as revolutions of the grid asked for. ``pull_error`` is what the pulling of cycles
    that do not divide evenly puts the mean print wrong by (0: none was pulled); it is not part of ``error``.
    """

    periods: int
    revolutions: int
    common_period: int
    error: float
    error_history: tuple[float, ...]
    fed_less_printed: float
    coarser_periods: int = 0
    work_revolutions: float = 0.0
    pull_error: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Provenance:
    """What the answer rests on: the grid, the precision, the accuracy asked for, what was done to the cycles."""

    network: str
    grid: Grid
    dtype: str
    accuracy: float
    cycles_pulled: float
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """One solve. ``answers`` and ``state`` are of the last period marched; trust them only if ``ok``."""

    outcome: Outcome
    answers: Answers | None
    state: State | None
    statistics: Statistics
    provenance: Provenance

    @property
    def ok(self) -> bool:
        return self.outcome is Outcome.SETTLED

    @property
    def problem(self) -> Problem:
        """The outcome as a message for a person, success included."""
        stats, asked = self.statistics, self.provenance
        values = {
            "network": asked.network,
            "accuracy_percent": 100 * asked.accuracy,
            "error_percent": 100 * stats.error,
            "revolutions": stats.revolutions,
            "detail": asked.detail,
        }
        return Problem(self.outcome.value, values)

    @property
    def sheet_um(self) -> Array | None:
        """Film per image area on the sheet, mean over the common period, by plate row and column."""
        return None if self.answers is None else self.answers.sheet_um


class NotSettledError(Exception):
    """Raised on request where a solve did not settle; carries the solution with its outcome."""

    def __init__(self, solution: Solution) -> None:
        self.solution = solution
        super().__init__(solution.problem.what)
