"""The settings of a fountain for one plate: sweep, keys as they are read on this press, and what they print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.press.fountain import Fountain
from filmsplit.press.words import KeyKind
from filmsplit.setup.aim import Aim, film_for
from filmsplit.setup.as_set import AsSet
from filmsplit.setup.key_scale import KeyScale, key_scale
from filmsplit.setup.learned import Learned
from filmsplit.setup.limits import KeyLimits, limits_on
from filmsplit.setup.readings import KeyReading, readings_of
from filmsplit.setup.sweep import SweepPlan, Wanted, plan_sweep
from filmsplit.setup.sweep_range import SweepRange, sweep_range
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.simulation.settle import ACCURACY


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Settings:
    """What to set. ``sweep_reading`` is ``None`` where the feed has no sweep.

    ``weights`` is the image area by zone. ``set_prints_um`` is what each zone prints with the keys at ``readings``,
    rounding and all. ``notes`` say what was assumed and what cannot be reached.
    """

    aim_um: float
    weights: Array
    sweep_reading: float | None
    plan: SweepPlan
    scale: KeyScale
    limits: KeyLimits
    readings: tuple[KeyReading, ...]
    set_films_um: Array
    set_prints_um: Array
    notes: tuple[Problem, ...]

    @property
    def as_set(self) -> AsSet:
        """The keys as they stand once they are set so: where a correction starts."""
        return AsSet(
            aim_um=self.aim_um,
            weights=self.weights,
            response=self.plan.response,
            scale=self.scale,
            limits=self.limits,
            readings=self.readings,
        )


def settings_for(  # noqa: PLR0913  (all but two are named and have defaults)
    response: SweepResponse,
    fountain: Fountain,
    *,
    unit: str,
    aim: Aim,
    scale: KeyScale | None = None,
    limits: KeyLimits | None = None,
    sweep_reading: float | None = None,
    accuracy: float = ACCURACY,
) -> Settings:
    """The settings that print ``aim`` on the plate that ``response`` was solved for.

    ``scale`` is what was learned of the keys, ``limits`` are the shop's own, ``sweep_reading`` keeps the sweep there.
    :class:`Refusal` where no film meets the aim; :class:`NotSettledError` where a print did not settle.
    """
    aim_um, limits = film_for(aim), limits_on(fountain.blade, limits)
    scale = key_scale(fountain) if scale is None else scale
    sweeps = _sweeps(response, fountain, unit=unit, reading=sweep_reading)
    wanted = Wanted(aim_um=np.full(len(response.zoned.zones), aim_um), full_um=scale.full_um, limits=limits)
    plan = plan_sweep(response, wanted, sweeps=sweeps, accuracy=accuracy)
    readings = readings_of(plan.keys.openings, scale, highest=limits.highest)
    films = wanted.films_um(np.array([each.opening for each in readings]))
    assumed = () if sweeps is None else sweeps.assumptions
    return Settings(
        aim_um=aim_um,
        weights=response.zoned.image_mm2,
        sweep_reading=None if sweeps is None or plan.sweep_mm is None else sweeps.reading_of(plan.sweep_mm),
        plan=plan,
        scale=scale,
        limits=limits,
        readings=readings,
        set_films_um=films,
        set_prints_um=np.asarray(plan.response @ films),
        notes=(scale.told(unit), *assumed, *_approach(scale, unit=unit), *plan.problems),
    )


def _approach(scale: KeyScale, *, unit: str) -> Iterator[Problem]:
    """From which side keys without numbers are set."""
    if scale.kind is KeyKind.UNNUMBERED:
        yield Problem("setup-keys-from-closed", {"unit": unit})


def _sweeps(response: SweepResponse, fountain: Fountain, *, unit: str, reading: float | None) -> SweepRange | None:
    """The sweeps to choose from: only the one kept, if one is; none where the feed has none."""
    if not response.sweeps_mm.size:
        return None
    sweeps = sweep_range(fountain.sweep, unit=unit)
    return sweeps if reading is None else replace(sweeps, readings=(reading,))


def settings_learned(  # noqa: PLR0913  (all but two are named and have defaults)
    response: SweepResponse,
    fountain: Fountain,
    *,
    unit: str,
    aim: Aim,
    learned: Learned,
    limits: KeyLimits | None = None,
    sweep_reading: float | None = None,
    accuracy: float = ACCURACY,
) -> Settings:
    """Settings with what the log has taught: the sweep chosen first, then the keys as they are at that sweep.

    ``response`` is to be of a train with the learned split (``ZonedTrain.with_split``).
    """
    asked = partial(settings_for, response, fountain, unit=unit, aim=aim, limits=limits, accuracy=accuracy)
    first = asked(scale=learned.scale_at(learned.middle_sweep_mm), sweep_reading=sweep_reading)
    return asked(scale=learned.scale_at(first.plan.sweep_mm), sweep_reading=first.sweep_reading)
