"""What a solve returns: outcome, films, statistics and where they come from. Only one outcome means success."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import Answers
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.state import State


class Outcome(Enum):
    """How a solve ended, as a sentence that ends in what to try."""

    SETTLED = "The print repeats within the accuracy asked for; read the films, and ask for less error if you need it."
    NOT_SETTLED = (
        "The print still changed more than the accuracy asked for when the allowed periods were used up; "
        "allow more periods, or march the train and look at what still moves."
    )
    NO_SETTLED_STATE = (
        "Ink comes in and nothing takes it off, so the films grow without end; "
        "put image or a sheet where the ink is fed, close those keys, or march instead."
    )
    OUT_OF_RANGE = (
        "The films ran out of the range of numbers while solving; "
        "check films, shares and transfer constants for typing slips."
    )
    INPUT_NOT_FINITE = "A film, sweep or coverage is not a finite number; correct the input named in the details."


@dataclass(frozen=True, slots=True, kw_only=True)
class Statistics:
    """How the solve went. Errors are the largest on image cells of the sheet over the mean image film, estimated."""

    periods: int
    revolutions: int
    common_period: int
    error: float
    error_history: tuple[float, ...]
    fed_less_printed: float


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
    def sheet_um(self) -> Array | None:
        """Film per image area on the sheet, mean over the common period, by plate row and column."""
        return None if self.answers is None else self.answers.sheet_um


class NotSettledError(Exception):
    """Raised on request where a solve did not settle; carries the solution with its outcome."""

    def __init__(self, solution: Solution) -> None:
        self.solution = solution
        super().__init__(solution.outcome.value)
