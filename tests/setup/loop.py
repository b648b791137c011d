"""Setting, correcting and learning against hidden presses, and short runs: what tests and campaign share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.press.fountain import Fountain
from filmsplit.setup.aim import SolidAim
from filmsplit.setup.correct import MOST_MOVE, Measured, correct
from filmsplit.setup.first_sheet import Spread, first_sheet
from filmsplit.setup.job_log import LoggedJob
from filmsplit.setup.learned import Learned, learn
from filmsplit.setup.readings import KeyReading
from filmsplit.setup.settings import Settings, settings_for, settings_learned
from filmsplit.setup.split import split_sides
from filmsplit.setup.sweep_response import SweepResponse, sweep_response
from setup.conftest import FloatArray
from setup.hidden_press import CURVE, NOMINAL_UM, HiddenPress, densities

AIM = 1.4
READING_ERROR = 0.01


def readings(settings: Settings) -> FloatArray:
    return np.array([each.reading for each in settings.readings])


def read(films_um: FloatArray, rng: np.random.Generator) -> Measured:
    """A sheet as a densitometer has it."""
    noise = rng.normal(0.0, READING_ERROR, films_um.size)
    return Measured(densities=densities(films_um) + noise, curve=CURVE, reading_error=READING_ERROR)


@dataclass(frozen=True)
class FirstAndSecond:
    """Whether the first sheet lay in its band, by zone, and how far from the aim first and second were at most (D), the
    second in zones whose key is not at the end of what it may do."""

    inside: FloatArray
    first_off: float
    second_off: float


def first_and_second(
    press: HiddenPress, response: SweepResponse, settings: Settings, *, spread: Spread, seed: int
) -> FirstAndSecond:
    """A first sheet with the settings, one correction, and the sheet after it."""
    band = first_sheet(settings, spread)
    printed = press.prints_um(response.zoned, settings, readings(settings))
    moved = correct(settings.as_set, read(printed, np.random.default_rng(seed)), spread=spread)
    again = press.prints_um(response.zoned, settings, np.array([each.reading for each in moved.readings]))
    return FirstAndSecond(
        inside=(band.low_um <= printed) & (printed <= band.high_um),
        first_off=float(np.abs(densities(printed) - AIM).max()),
        second_off=float(np.abs(densities(again) - AIM)[_free(settings, moved.readings)].max()),
    )


def _free(settings: Settings, after: tuple[KeyReading, ...]) -> NDArray[np.bool_]:
    """Zones whose key stands more than one reading from the ends of its range and of one move."""
    now, then = (np.array([each.opening for each in keys]) for keys in (settings.readings, after))
    step, limits = settings.scale.settable / settings.scale.ranges, settings.limits
    inside = (then > limits.lowest + step) & (then < limits.highest - step)
    return np.asarray(inside & (np.abs(then - now) < MOST_MOVE - step), dtype=np.bool_)


def learned_from(
    press: HiddenPress, fountain: Fountain, responses: list[SweepResponse], *, sweep_reading: float | None, seed: int
) -> Learned:
    """What a log of these plates teaches, each set from the press file and read once it had settled."""
    rng, aim, log = np.random.default_rng(seed), SolidAim(density=AIM, curve=CURVE), []
    for response in responses:
        settings = settings_for(response, fountain, unit="A", aim=aim, sweep_reading=sweep_reading)
        sheet = read(press.prints_um(response.zoned, settings, readings(settings)), rng)
        log.append(
            LoggedJob(
                response=settings.plan.response,
                readings=readings(settings),
                films_um=sheet.films_um,
                errors_um=sheet.errors_um,
                sweep_mm=settings.plan.sweep_mm,
                split=split_sides(
                    response.zoned.swept(settings.plan.sweep_mm),
                    settings.plan.keys.films_um,
                    solution=settings.plan.solution,
                ),
            )
        )
    return learn(log, scale=settings.scale, coupling=settings.limits.coupling)


def intervals_hold(press: HiddenPress, learned: Learned) -> tuple[list[bool], list[bool], bool]:
    """Whether the intervals of gains, of zeros and of the split hold what is true of the press."""
    gains = [
        key.gain_um.low <= NOMINAL_UM * true <= key.gain_um.high
        for key, true in zip(learned.keys, press.gains, strict=True)
    ]
    zeros = [key.zero.low <= true <= key.zero.high for key, true in zip(learned.keys, press.zeros, strict=True)]
    assert learned.split is not None
    return gains, zeros, learned.split.low <= 0.5 + press.split_off <= learned.split.high


def learned_off(
    press: HiddenPress, fountain: Fountain, responses: list[SweepResponse], *, sweep_reading: float | None, seed: int
) -> tuple[float, float]:
    """How far the first sheet of the last plate is off at most (D), without a log and with the plates before logged."""
    learned = learned_from(press, fountain, responses[:-1], sweep_reading=sweep_reading, seed=seed)
    aim, last = SolidAim(density=AIM, curve=CURVE), responses[-1]
    bare = settings_for(last, fountain, unit="A", aim=aim, sweep_reading=sweep_reading)
    known = sweep_response(last.zoned.with_split(learned.split_off), last.sweeps_mm)
    taught = settings_learned(known, fountain, unit="A", aim=aim, learned=learned, sweep_reading=sweep_reading)
    prints = [press.prints_um(last.zoned, each, readings(each)) for each in (bare, taught)]
    bare_off, taught_off = (float(np.abs(densities(films) - AIM).max()) for films in prints)
    return bare_off, taught_off
