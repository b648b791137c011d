"""How sure the print is: a band from stated uncertainties, and what a coarser grid would have said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation.bands import Band, Uncertainty, band_of
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.sensitivity import Derivative, derivatives
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train
from filmsplit.studies.film_cells import cells_of, prepare
from filmsplit.studies.film_keys import Keyed, Told
from filmsplit.studies.film_setting import FilmSetting

MOST_CELLS = 12_000
"""Cells on which derivatives are taken: a band need not be known better than to some percent of itself."""

ACCURACY = 3e-3
"""Accuracy of the derivatives, as part of the film per natural size of what is moved."""

TOLD_EVERY = 16
"""Derivatives taken between two words of progress."""

Uncertainties = Callable[[Train, Demand], Sequence[Uncertainty]]
"""What is unsure about a train."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BandFound:
    """The band of the mean film on the sheet. ``coarse_cells`` are those of the grid its derivatives come from, and
    ``coarse_differs`` is by what part of itself the film would be larger on that grid."""

    band: Band
    coarse_cells: int
    coarse_differs: float


def band_on(setting: FilmSetting, keyed: Keyed, *, uncertainties: Uncertainties, told: Told) -> BandFound | None:
    """The band of a settled print; ``None`` where the coarser grid did not settle.

    Derivatives are taken on the coarser grid, with the law on the sheet straightened, and applied as parts of the film.
    :class:`Refusal` as in ``prepare``.
    """
    assert keyed.films_um is not None
    assert keyed.solution.answers is not None
    coarse = prepare(setting, most_cells=MOST_CELLS)
    demand = coarse.running(coarse.keyed(keyed.films_um))
    solution = settle(coarse.train, demand, accuracy=setting.question.accuracy)
    if not solution.ok or solution.answers is None or solution.answers.sheet_mean_um == 0:
        return None
    stated = uncertainties(coarse.train, demand)
    straight = straightened(demand, blanket_um=solution.answers.blanket_um)
    value_um, coarse_um = keyed.solution.answers.sheet_mean_um, solution.answers.sheet_mean_um
    slopes = [
        _larger(each, value_um / coarse_um)
        for each in _slopes(coarse.train, straight, solution, stated=stated, told=told)
    ]
    return BandFound(
        band=band_of(value_um, slopes, uncertainties=stated),
        coarse_cells=cells_of(setting, coarse.train.grid),
        coarse_differs=coarse_um / value_um - 1.0,
    )


def straightened(demand: Demand, *, blanket_um: float) -> Demand:
    """The demand with a fixed share instead of its law: the share taken of a little more ink at the mean film.

    So slopes need one linear solve each instead of two settled states; measured, bands then differ by less than 1 %.
    A law whose slope is no share is left as it is.
    """
    law, little = demand.transfer, 1e-4 * blanket_um
    if law.is_linear:
        return demand
    low, high = law.taken_um(np.array([blanket_um - little, blanket_um + little]))
    share = float(high - low) / (2 * little)
    return replace(demand, transfer=FixedShare(tau=share)) if 0 < share <= 1 else demand


def _slopes(
    train: Train, demand: Demand, solution: Solution, *, stated: Sequence[Uncertainty], told: Told
) -> list[Derivative]:
    """The derivatives, a few at a time so that somebody can be told."""
    found: list[Derivative] = []
    for few in _batched(stated, TOLD_EVERY):
        told(len(found) / len(stated))
        parameters = [each.parameter for each in few]
        found += derivatives(train, demand, solution, parameters=parameters, accuracy=ACCURACY)
    return found


def _batched(stated: Sequence[Uncertainty], size: int) -> Iterator[Sequence[Uncertainty]]:
    """A few at a time."""
    return (stated[first : first + size] for first in range(0, len(stated), size))


def _larger(slope: Derivative, factor: float) -> Derivative:
    return replace(slope, sheet_um_per_unit=slope.sheet_um_per_unit * factor, by_column=slope.by_column * factor)
