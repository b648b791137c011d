"""How the settled print answers to each number it rests on, and to each key.

With the settled state x = Phi(x, p) and the print J(x, p) of one period, a small change of p gives

    dx/dp = (I - M)^-1 dPhi/dp,   dJ/dp = J(dx/dp) + dJ/dp at fixed x,

where M is the period map without its feeds. The two derivatives at fixed x are central differences of one period of
the marching kernel; the linear solve is :class:`LinearPeriod`'s. So no settled state is solved twice. Sweep and dwell
are the exception: their slopes are secants between two settled states (see ``SECANTS``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import column_image, sheet_columns
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.linear import LinearPeriod
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved, parameters_of, value_of
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State
from filmsplit.simulation.train import Train

__all__ = ["Derivative", "Parameter", "ParameterKind", "derivatives", "parameters_of"]

SHARES = frozenset({ParameterKind.SPLIT, ParameterKind.TRANSFER, ParameterKind.CONTACT})
"""Parameters that are shares of one whole."""

SMALL_SHARE = 1e-4
"""Shares are moved by this much to either side: rounding and curvature are then both below 1e-7 of the derivative."""

SMALL_STROKE_MM = 1e-2
"""A stroke is moved by this much to either side."""

SECANTS = frozenset({ParameterKind.SWEEP, ParameterKind.DWELL})
"""Parameters of whole cells: where the ductor stood when it left off shows in the print of small trains by several
percent from cell to cell, so only the slope over several cells means anything."""

SECANT_PART = 0.1
SECANT_CELLS = 4
"""A secant goes to either side by this part of the parameter, and by so many cells at least."""

WIDER = {**dict.fromkeys(SHARES, 100.0), ParameterKind.KEY_FILM: 0.1, ParameterKind.STROKE: 100.0}
"""How much wider the steps are where the settled state is solved anew, to an accuracy far below the step."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Derivative:
    """Change of the settled sheet mean, um per unit of the parameter, and of each column's mean.

    ``error`` is the estimate of what the solve left over, in the same unit; ``settled`` says whether that is within
    what was asked for.
    """

    parameter: Parameter
    at: float
    sheet_um_per_unit: float
    by_column: Array
    error: float
    settled: bool


def derivatives(
    train: Train,
    demand: Demand,
    solution: Solution,
    *,
    parameters: Sequence[Parameter],
    accuracy: float = ACCURACY,
) -> tuple[Derivative, ...]:
    """Derivatives of the settled print of ``solution``, in the order of ``parameters``.

    ``accuracy`` is the largest error on image cells, as part of the mean film per natural size of the parameter (1
    for a share, else its own value); the solution itself should be settled to that. ``ValueError`` where it is not
    settled at all.
    """
    if not solution.ok or solution.state is None or solution.answers is None:
        raise ValueError(f"not settled ({solution.outcome.value}): nothing to take a derivative of")
    asked = Asked(train=train, demand=demand)
    linear = LinearPeriod(train, demand) if demand.transfer.is_linear else None
    return tuple(
        _solved_again(asked, solution, each, accuracy=accuracy)
        if linear is None or each.kind in SECANTS
        else _derivative(asked, solution, each, linear=linear, accuracy=accuracy)
        for each in parameters
    )


def _derivative(
    asked: Asked, solution: Solution, parameter: Parameter, *, linear: LinearPeriod, accuracy: float
) -> Derivative:
    """One derivative by one linear solve."""
    assert solution.state is not None
    assert solution.answers is not None
    first, last = reach(asked, parameter)
    low, high = (_turned(moved(asked, parameter, by=by), solution.state, linear.revolutions) for by in (first, last))
    source = (high.state.films - low.state.films) / (last - first)
    at_rest = (high.printed - low.printed).sum(axis=0) / (last - first)
    found = linear.answer(source, within_um=accuracy * solution.answers.sheet_mean_um / size(asked, parameter))
    printed = (at_rest + found.printed) / linear.revolutions
    return _reported(asked, parameter, printed=printed, error=found.error, settled=found.settled)


def _solved_again(asked: Asked, solution: Solution, parameter: Parameter, *, accuracy: float) -> Derivative:
    """The slope between two settled solves some way apart: for secants, and for laws that are not linear."""
    assert solution.answers is not None
    first, last = (WIDER.get(parameter.kind, 1.0) * by for by in reach(asked, parameter))
    fine = accuracy * (last - first) / 2 / size(asked, parameter)
    pair = [moved(asked, parameter, by=by) for by in (first, last)]
    low, high = (settle(each.train, each.demand, accuracy=fine, start=solution.state) for each in pair)
    prints = [_printed(asked, each) for each in (low, high)]
    error = (low.statistics.error + high.statistics.error) * solution.answers.sheet_mean_um / (last - first)
    printed = (prints[1] - prints[0]) / (last - first)
    return _reported(asked, parameter, printed=printed, error=error, settled=low.ok and high.ok)


def _turned(asked: Asked, state: State, turns: int) -> Marched:
    return march(asked.train, asked.demand, state=state, revolutions=turns)


def _printed(asked: Asked, solution: Solution) -> Array:
    """Ink printed by column in one revolution of a solution; not a number where there is none."""
    if solution.answers is None:
        return np.full(asked.train.grid.columns, np.nan)
    return np.asarray((asked.demand.coverage * solution.answers.sheet_um).sum(axis=0, dtype=np.float64))


def size(asked: Asked, parameter: Parameter) -> float:
    """The parameter's natural size: 1 for a share, else its own value (or 1 unit where that is 0)."""
    return 1.0 if parameter.kind in SHARES else abs(value_of(asked, parameter)) or 1.0


def reach(asked: Asked, parameter: Parameter) -> tuple[float, float]:
    """How far a parameter is moved down and up for a difference: no film below 0, no share on the sheet above 1."""
    kind, cell = parameter.kind, asked.train.grid.round_mm
    if kind is ParameterKind.TRANSFER:
        return -SMALL_SHARE, min(SMALL_SHARE, 1.0 - value_of(asked, parameter))
    if kind in SHARES:
        return -SMALL_SHARE, SMALL_SHARE
    if kind is ParameterKind.KEY_FILM:
        return 0.0, size(asked, parameter)
    if kind is ParameterKind.STROKE:
        return -SMALL_STROKE_MM, SMALL_STROKE_MM
    step = cell * max(SECANT_CELLS, round(SECANT_PART * size(asked, parameter) / cell))
    return (-step, step) if value_of(asked, parameter) >= step else (0.0, step)


def _reported(asked: Asked, parameter: Parameter, *, printed: Array, error: float, settled: bool) -> Derivative:
    """Ink printed by column and revolution as films."""
    image = column_image(asked.train, asked.demand)
    across = slice(*sheet_columns(asked.train, asked.demand))
    return Derivative(
        parameter=parameter,
        at=value_of(asked, parameter),
        sheet_um_per_unit=float(printed[across].sum() / max(image[across].sum(), 1e-300)),
        by_column=np.divide(printed, image, out=np.zeros(printed.shape), where=image > 0),
        error=error,
        settled=settled,
    )
