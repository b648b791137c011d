"""A change of ink on one unit: how the old ink leaves the print, and whether to wash for it or to run it out.

In a nip both films become one and part again, so each carries both inks in the mixture of the whole. With a fixed share
on the sheet every law of the train is linear in the films; hence each ink by itself obeys the same laws: the old one
with nothing in the keys, the new one from rollers that hold none. Two marches give the mixture of every sheet, and
part of the old ink left by a wash is the same march made smaller.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import FORMS_OFF, Demand
from filmsplit.simulation.march import march
from filmsplit.simulation.press_run import Leg, run
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, clean_plate, empty, stored_um_mm2

MOST_SHEETS = 3000
"""Nobody runs out an ink over more sheets than this (invented default)."""

MOST_CHARGE = 300
"""Clean rollers that are not full after so many turns are printed from as they are."""

FILM_TOLERANCE = 0.1
"""Part of the settled film by which a zone of a good sheet may be off (invented default: about 0.08 D at 1.4)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Change:
    """The new plate and the new ink's key films by zone, and where the old ink is.

    ``state`` is the train as the old job left it; its plate and blanket are washed in any case. A sheet is good if in
    every zone with image no more than ``share`` of the film is old ink, and the film lies within ``film_tolerance`` of
    the settled one. A wash leaves the part ``left`` of the old ink on the rollers. The fountain is emptied and cleaned
    either way.
    """

    zoned: ZonedTrain
    films_um: Array
    state: State
    share: float
    left: float = 0.01
    film_tolerance: float = FILM_TOLERANCE
    most_sheets: int = MOST_SHEETS

    @property
    def demand(self) -> Demand:
        """The press printing with the new ink in its keys."""
        return self.zoned.keyed(self.films_um)

    @property
    def nothing_fed(self) -> Demand:
        """The same with a fountain that brings none of the old ink, and takes what the ductor brings back."""
        return self.zoned.keyed(np.zeros(len(self.zoned.zones)))

    @property
    def start(self) -> State:
        """The old ink as the new plate meets it."""
        return clean_plate(self.zoned.train, State(0, self.state.films))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mixture:
    """Both inks by sheet and zone with image (um), means over the zone's image.

    ``good_from`` is the first sheet from which on every sheet is good; ``None`` where those marched were not enough.
    ``charge_revolutions`` were made with the forms off before the first sheet.
    """

    old_um: Array
    new_um: Array
    good_from: int | None
    charge_revolutions: int = 0

    @property
    def shares(self) -> Array:
        """Part of the film that is old ink, by sheet and zone."""
        total = self.old_um + self.new_um
        return np.divide(self.old_um, total, out=np.zeros(total.shape), where=total > 0)

    @property
    def worst(self) -> Array:
        """The largest share of any zone, by sheet."""
        return np.asarray(self.shares.max(axis=1, initial=0.0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Changed:
    """Both ways of a change. ``returned_um_mm2`` of old ink go back into the fountain while it is run out."""

    run_out: Mixture
    washed: Mixture
    returned_um_mm2: float


def change_of(change: Change, *, accuracy: float = ACCURACY) -> Changed:
    """Both ways, marched sheet by sheet.

    ``ValueError`` where the law on the sheet is not linear or no zone has image; :class:`NotSettledError` where the
    new print does not settle.
    """
    if not change.zoned.demand.transfer.is_linear:
        raise ValueError("with this law on the sheet an ink does not go its way apart from the other")
    if not np.any(change.zoned.image_cells > 0):
        raise ValueError("a plate without image shows no ink")
    settled = settle(change.zoned.train, change.demand, accuracy=accuracy, throw=True)
    old = _Marching(change, change.nothing_fed, change.start)
    run_out = _mixture(change, settled, old=old, new=_Marching(change, change.demand, empty(change.zoned.train)))
    charged, turns = _charged(change, settled)
    old_left, started = _left(change, turns=turns), _Marching(change, change.demand, charged)
    return Changed(
        run_out=run_out,
        washed=_mixture(change, settled, old=old_left, new=started, charge=turns),
        returned_um_mm2=-old.fed_um_mm2,
    )


class _Marching:
    """One ink marched on by stretches; films by sheet and zone with image so far."""

    def __init__(self, change: Change, demand: Demand, state: State) -> None:
        self.zoned, self.demand, self.state = change.zoned, demand, state
        self.image = change.zoned.image_cells > 0
        self.films_um = np.zeros((0, int(self.image.sum())))
        self.fed_um_mm2 = 0.0

    def on(self, sheets: int) -> None:
        """So many sheets more."""
        done = march(self.zoned.train, self.demand, state=self.state, revolutions=sheets)
        self.state = done.state
        self.fed_um_mm2 += done.fed_um_mm2
        films = np.array([self.zoned.films_of(sheet) for sheet in done.printed])[:, self.image]
        self.films_um = np.vstack([self.films_um, films])


def _mixture(change: Change, settled: Solution, *, old: _Marching, new: _Marching, charge: int = 0) -> Mixture:
    """March both inks until a whole common period of sheets is good, or the most sheets are made."""
    period = settled.statistics.common_period
    aim = change.zoned.prints_um(settled)[old.image]
    while True:
        made = old.films_um.shape[0]
        stretch = min(change.most_sheets - made, max(period, made // period * period))
        old.on(stretch)
        new.on(stretch)
        found = Mixture(old_um=old.films_um, new_um=new.films_um, good_from=None, charge_revolutions=charge)
        first = _good_from(found, aim, change=change, period=period)
        enough = first is not None and old.films_um.shape[0] - first + 1 >= period
        if enough or old.films_um.shape[0] >= change.most_sheets:
            return replace(found, good_from=first if enough else None)


def _good_from(found: Mixture, aim: Array, *, change: Change, period: int) -> int | None:
    """First sheet (from 1) from which on all that were marched are good; films as means over the last period."""
    films = _trailing(found.old_um + found.new_um, period)
    off = np.any(np.abs(films - aim) > change.film_tolerance * aim, axis=1)
    bad = np.flatnonzero((found.worst > change.share) | off)
    first = 1 if bad.size == 0 else int(bad[-1]) + 2
    return first if first <= films.shape[0] else None


def _trailing(films: Array, period: int) -> Array:
    """Means over the last ``period`` sheets, over those there are at the beginning."""
    sums = np.vstack([np.zeros(films.shape[1]), np.cumsum(films, axis=0)])
    ends = np.arange(1, films.shape[0] + 1)
    starts = np.maximum(ends - period, 0)
    return np.asarray((sums[ends] - sums[starts]) / (ends - starts)[:, None])


def _charged(change: Change, settled: Solution) -> tuple[State, int]:
    """Clean rollers filled with the forms off to what they hold once the new print is settled, and the turns."""
    assert settled.state is not None
    train = change.zoned.train
    cover = change.zoned.demand.coverage
    wanted = stored_um_mm2(train, clean_plate(train, settled.state), cover)
    state, turns = empty(train), 0
    leg = Leg(demand=_forms_off(change.demand), revolutions=1)
    while turns < MOST_CHARGE and stored_um_mm2(train, state, cover) < wanted:
        state, turns = run(train, [leg], state=state).state, turns + 1
    return state, turns


def _left(change: Change, *, turns: int) -> _Marching:
    """What a wash leaves of the old ink, after the same turns with the forms off."""
    state = State(0, change.left * change.start.films)
    if turns:
        leg = Leg(demand=_forms_off(change.nothing_fed), revolutions=turns)
        state = run(change.zoned.train, [leg], state=state).state
    return _Marching(change, change.nothing_fed, state)


def _forms_off(demand: Demand) -> Demand:
    return replace(demand, running=FORMS_OFF)
