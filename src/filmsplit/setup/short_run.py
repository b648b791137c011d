"""Runs shorter than the rollers' memory: what to do with the first and the last sheets, so that more are kept.

With a fixed share on the sheet the train is linear, and its feed repeats stroke by stroke, or very nearly (oscillators
have cycles of their own). So the print of any plan (charge with the forms off, begin with other keys, go to the run
settings) is a sum of a few marches shifted by strokes. Those are made once; the search is then arithmetic, and the best
of what it finds is marched anew, sheet by sheet. How early the ductor can be held off is found by marching.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.density import DensityCurve, solid_density
from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import FORMS_OFF
from filmsplit.simulation.march import march
from filmsplit.simulation.press_run import Leg, run
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, empty

SHORT = 3.0
"""A run of fewer response times (sheets to 63 %) than this is short: settled settings are then wrong for most of it."""

CHARGES = 15
"""Lengths of charging that are tried, from none to a good deal more than fills the rollers."""

MOST_CHARGE = 300
"""Turns of charging at most: three or four minutes at the speed of inking up (invented default)."""

FACTORS = 21
STARTS = 24
"""Openings of the start settings that are tried, and sheets at which to go to the run settings."""

FEW = 0.1
"""Part of the sheets that a charge may cost more than the best one, if it keeps the print nearer to its aim."""

MARCHED = 5
"""The best plans by forecast, that are marched."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShortJob:
    """A short run: the train under its plate, the settled run settings, and what counts as a good sheet.

    ``films_um`` are the run settings' key films and ``solution`` their settled print; ``widest`` is by what factor all
    keys together can be opened beyond them. A sheet is good if in every zone with image its density is within
    ``tolerance`` of the settled print's, ``aim``. ``state`` is the train before (``None``: clean rollers).
    """

    zoned: ZonedTrain
    films_um: Array
    solution: Solution
    sheets: int
    curve: DensityCurve
    tolerance: float
    widest: float = 1.5
    state: State | None = None
    aim: Array = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "aim", self.densities(self.zoned.prints_um(self.solution)))

    @property
    def stroke(self) -> int:
        """Whole turns of the plate nearest to one stroke of the ductor; 1 where the feed is continuous."""
        ductor = self.zoned.train.feeds[0].ductor
        return 1 if ductor is None else max(1, round(ductor.cycle / self.zoned.train.grid.rows))

    @property
    def start(self) -> State:
        """The train before, at step 0."""
        return empty(self.zoned.train) if self.state is None else State(0, self.state.films)

    def densities(self, films_um: Array) -> Array:
        """Densities of zones with image (last axis)."""
        image = self.zoned.image_cells > 0
        return solid_density(films_um[..., image], saturation=self.curve.saturation, rate=self.curve.rate)

    def off(self, films_um: Array) -> float:
        """Mean distance of the densities from their aim, zones weighing as their image; films by sheet and zone."""
        image = self.zoned.image_cells
        return float(np.mean(np.abs(self.densities(films_um) - self.aim) @ image[image > 0]) / image.sum())

    def good(self, films_um: Array) -> NDArray[np.bool_]:
        """Whether each sheet is good; films by sheet and zone."""
        off = np.abs(self.densities(films_um) - self.aim)
        return np.asarray(np.all(off <= self.tolerance, axis=-1), dtype=np.bool_)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortPlan:
    """What to do. Sheets count from 1.

    First turns of the press with the forms off and the ductor on, then sheets, both with all keys at ``factor`` times
    their run settings; from sheet ``run_settings_from`` on at these; after ``ductor_off_after`` the ductor is off.
    """

    charge_revolutions: int
    factor: float
    run_settings_from: int
    ductor_off_after: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marched:
    """A plan marched sheet by sheet: films by sheet and zone, densities of zones with image, and the good sheets."""

    plan: ShortPlan
    films_um: Array
    densities: Array
    good: NDArray[np.bool_]

    @property
    def waste(self) -> int:
        """Sheets that are not kept."""
        return int(np.sum(~self.good))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShortRun:
    """The best plan found beside plain settled settings, and beside the best charge alone, all marched."""

    best: Marched
    plain: Marched
    charged: Marched

    @property
    def gain(self) -> int:
        """Sheets kept more than with settled settings from the first sheet on."""
        return self.plain.waste - self.best.waste


def is_short(sheets: int, sheets_63: int) -> bool:
    """Whether a run is over before the rollers have settled."""
    return sheets < SHORT * sheets_63


def plan_short_run(job: ShortJob) -> ShortRun:
    """Search charge, start settings and change-over by forecast; march the best; hold the ductor off when it can be.

    ``ValueError`` where the law on the sheet is not linear, or the run settings are not settled.
    """
    if not job.zoned.demand.transfer.is_linear:
        raise ValueError("with this law on the sheet a plan is not the sum of its parts")
    parts = _Parts.of(job)
    plain, charged = evaluate(job, _settled(job)), _best(job, parts, _charges_only(job, parts))
    best = min((charged, plain, _best(job, parts, _plans(job, parts))), key=lambda each: each.waste)
    return ShortRun(best=_ductor_off(job, best), plain=plain, charged=charged)


def plan_charge(job: ShortJob) -> Marched:
    """Only how long to charge with the forms off: for runs long enough to settle. ``ValueError`` as above.

    Of the charges that cost few sheets more than the best, the one with the print nearest to its aim, each zone
    weighing as its image: filling the lightest zone first would drown all others.
    """
    if not job.zoned.demand.transfer.is_linear:
        raise ValueError("with this law on the sheet a plan is not the sum of its parts")
    parts = _Parts.of(job)
    plans = list(_charges_only(job, parts))
    prints = [parts.prints(plan) for plan in plans]
    wastes = [int(np.sum(~job.good(films))) for films in prints]
    few = min(wastes) + FEW * job.sheets
    able = [number for number, waste in enumerate(wastes) if waste <= few]
    return evaluate(job, plans[min(able, key=lambda number: job.off(prints[number]))])


def _best(job: ShortJob, parts: _Parts, plans: Iterable[ShortPlan]) -> Marched:
    """The plan with the least waste, marched: of the best few by forecast, the plainest first."""
    tried = list(plans)
    wastes = [int(np.sum(~job.good(parts.prints(plan)))) for plan in tried]
    order = np.argsort(wastes, kind="stable")[:MARCHED]
    return min((evaluate(job, tried[int(number)]) for number in order), key=lambda each: each.waste)


def _settled(job: ShortJob, *, charge: int = 0) -> ShortPlan:
    """Settled settings from the first sheet on, after a charge."""
    return ShortPlan(charge_revolutions=charge, factor=1.0, run_settings_from=1, ductor_off_after=job.sheets)


def _charges_only(job: ShortJob, parts: _Parts) -> Iterator[ShortPlan]:
    for charge in parts.charges:
        yield _settled(job, charge=charge)


def _plans(job: ShortJob, parts: _Parts) -> Iterator[ShortPlan]:
    """Everything that is tried, the plainest first."""
    factors = np.linspace(0.0, job.widest, FACTORS)
    starts = 1 + job.stroke * np.unique(np.linspace(1, max(1, (job.sheets - 1) // job.stroke), STARTS).round())
    for charge in parts.charges:
        yield _settled(job, charge=charge)
        for factor in sorted(factors, key=lambda factor: abs(factor - 1.0)):
            for start in starts[starts <= job.sheets]:
                yield replace(_settled(job, charge=charge), factor=float(factor), run_settings_from=int(start))


def _ductor_off(job: ShortJob, marched: Marched) -> Marched:
    """The same plan with the ductor held off as early as costs no sheet, by halving: less ink is left on the rollers.

    Not before the run settings are on, so that what is set is also seen.
    """
    if marched.waste == job.sheets:
        return marched
    found, low, high = marched, marched.plan.run_settings_from - 1, job.sheets
    while high - low > 1:
        middle = (low + high) // 2
        tried = evaluate(job, replace(marched.plan, ductor_off_after=middle))
        if tried.waste <= marched.waste:
            found, high = tried, middle
        else:
            low = middle
    return found


def evaluate(job: ShortJob, plan: ShortPlan) -> Marched:
    """March a plan in legs."""
    done = run(job.zoned.train, list(_legs(job, plan)), state=job.start)
    sheets = np.concatenate([leg.printed for leg in done.legs])[plan.charge_revolutions :]
    films = job.zoned.films_of(sheets)
    return Marched(plan=plan, films_um=films, densities=job.densities(films), good=job.good(films))


def _legs(job: ShortJob, plan: ShortPlan) -> Iterator[Leg]:
    """The plan as legs of a run, those of no length left out."""
    begin = job.zoned.keyed(plan.factor * job.films_um)
    going = job.zoned.keyed(job.films_um)
    first = min(plan.run_settings_from - 1, plan.ductor_off_after)
    lengths = (plan.charge_revolutions, first, plan.ductor_off_after - first, job.sheets - plan.ductor_off_after)
    demands = (replace(begin, running=FORMS_OFF), begin, going, going)
    for number, (demand, revolutions) in enumerate(zip(demands, lengths, strict=True)):
        if revolutions > 0:
            yield Leg(demand=demand, revolutions=revolutions, feeding=number < 3)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Parts:
    """Films by sheet and zone that every plan is made of.

    ``fed`` is the print of a clean train fed from the first sheet on. For each charge (revolutions): ``kept`` is the
    print, unfed, of what was on the rollers before, ``charged`` that of what the charge brought with the run settings.
    """

    charges: tuple[int, ...]
    fed: Array
    kept: Array
    charged: Array

    @classmethod
    def of(cls, job: ShortJob) -> _Parts:
        charges = _charges(job)
        clean = empty(job.zoned.train)
        kept: list[Array] = []
        charged: list[Array] = []
        for before, after, films in ((job.state, kept, 0.0), (clean, charged, 1.0)):
            if before is None:  # clean rollers, and nothing is fed: nothing is printed
                after.extend([np.zeros((job.sheets, len(job.zoned.zones)))] * len(charges))
                continue
            state, turned = State(0, before.films), 0
            for charge in charges:
                state = _charged(job, state, revolutions=charge - turned, factor=films)
                turned = charge
                after.append(_unfed(job, state))
        fed = march(job.zoned.train, job.zoned.keyed(job.films_um), state=clean, revolutions=job.sheets)
        return cls(
            charges=charges,
            fed=_by_zone(job, fed.printed),
            kept=np.array(kept),
            charged=np.array(charged),
        )

    def prints(self, plan: ShortPlan) -> Array:
        """Films by sheet and zone of a plan, by superposition, with the ductor on to the end."""
        number = self.charges.index(plan.charge_revolutions)
        total = self.kept[number] + plan.factor * (self.charged[number] + self.fed)
        return np.asarray(total + (1.0 - plan.factor) * _later(self.fed, plan.run_settings_from - 1))


def _charges(job: ShortJob) -> tuple[int, ...]:
    """Whole strokes of charging, from none to what would fill the settled train twice if feeding did not slow down.

    Never more turns than anybody waits for.
    """
    assert job.solution.answers is not None
    begin = replace(job.zoned.keyed(job.films_um), running=FORMS_OFF)
    first = march(job.zoned.train, begin, state=empty(job.zoned.train), revolutions=job.stroke)
    per_stroke = max(first.fed_um_mm2, 1e-300)
    most = max(1, int(2 * job.solution.answers.stored_um_mm2 / per_stroke))
    most = max(1, min(most, MOST_CHARGE // job.stroke))
    return tuple(int(n) * job.stroke for n in np.unique(np.linspace(0, most, CHARGES).round()))


def _charged(job: ShortJob, state: State, *, revolutions: int, factor: float) -> State:
    """The train after charging; with ``factor`` 0 nothing is fed, but ink goes back to the fountain roller."""
    if revolutions == 0:
        return state
    demand = replace(job.zoned.keyed(factor * job.films_um), running=FORMS_OFF)
    done = march(job.zoned.train, demand, state=state, revolutions=revolutions)
    return done.state


def _unfed(job: ShortJob, state: State) -> Array:
    """The print of a state with nothing in the keys: the ductor works on and takes ink back."""
    done = march(job.zoned.train, job.zoned.keyed(0.0 * job.films_um), state=state, revolutions=job.sheets)
    return _by_zone(job, done.printed)


def _by_zone(job: ShortJob, printed: Array) -> Array:
    return job.zoned.films_of(printed)


def _later(films: Array, sheets: int) -> Array:
    """The same print so many sheets later."""
    later = np.zeros(films.shape)
    later[sheets:] = films[: films.shape[0] - sheets]
    return later
