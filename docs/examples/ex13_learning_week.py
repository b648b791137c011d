"""A week of log, correct and learn: the press comes to be known, and first sheets come out near the aim.

The press of the file is not the press of the shop. This one splits 45 : 55, one form roller is set light, its keys
give up to a fifth more or less than they should, and two of them are a whole division off. Every day a plate that was
not printed before is set with what the records have taught so far, its first sheet is read and corrected once, and
the job is logged with keys and densities. Nothing but the records leads from one day to the next.

Promises: after five logged jobs no zone of a first sheet is more than 0.08 D off; after a correction none more than
0.05 D. Source: this project's own promises; press, plates and readings are invented.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from gallery import picture
from numpy.typing import NDArray

from filmsplit.actions.correct import correct_told
from filmsplit.actions.job_train import train_of
from filmsplit.actions.jobs import Checked, Told, checked, log
from filmsplit.actions.learning import learned_of
from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.ink.density import DensityCurve, solid_density
from filmsplit.press.fountain import Fountain
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.aim import SolidAim
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.learned import Learned
from filmsplit.setup.limits import limits_on
from filmsplit.setup.settings import settings_for, settings_learned
from filmsplit.setup.sweep_response import sweep_response
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import NipKind

PRESS, UNIT, SWEEP = "dipper", "A", 4.0
AIM, CURVE, READING_ERROR = 1.4, DensityCurve(2.0, 1.1), 0.01
GAINS = (0.86, 1.12, 1.2, 0.95, 0.8, 1.05, 0.91, 1.18)
ZEROS = (0.0, 1.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0)
SPLIT_OFF, FORM_OFF = -0.05, -0.3
"""The true press beside its file: film of the keys as parts, zeros in divisions, split, contact of a form roller."""

PLATES = (
    (12, 16, 20, 22, 22, 20, 16, 12),
    (30, 28, 25, 20, 18, 15, 15, 15),
    (10, 10, 12, 15, 20, 25, 28, 25),
    (20, 22, 18, 15, 15, 18, 22, 20),
    (8, 10, 10, 12, 12, 10, 10, 8),
    (15, 20, 25, 22, 18, 20, 22, 18),
)
"""Coverage by zone in percent, Monday to Saturday."""

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """How far the worst zone was off the aim (D) on the first sheet, set from the records, and after one correction."""

    jobs_logged: int
    first: float
    corrected: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The days, and how far the last first sheet would have been off if nobody had kept a record (D)."""

    days: tuple[Day, ...]
    without_log: float


def main() -> Week:
    """Six days on one file of records."""
    rng = np.random.default_rng(2)
    with tempfile.TemporaryDirectory() as folder:
        days = tuple(_day(number, Path(folder) / "shop.records", rng) for number in range(len(PLATES)))
    last = checked(PRESS, _job(len(PLATES) - 1), _told(len(PLATES) - 1))
    return Week(days=days, without_log=_worst(_read(last, _keys(last, None), rng)))


def _day(number: int, records: Path, rng: np.random.Generator) -> Day:
    """Set from the records, read, correct, read, log."""
    job, told = _job(number), _told(number)
    found = checked(PRESS, job, told)
    keys = _keys(found, learned_of(found.press, found.unit, records).learned)
    first = _read(found, keys, rng)
    corrected = correct_told(PRESS, job, told=replace(told, keys=keys, densities=first))
    after = tuple(key.then for key in corrected.keys)
    second = _read(found, after, rng)
    log(PRESS, job, told=replace(told, keys=after, densities=second), records=records)
    return Day(jobs_logged=number, first=_worst(first), corrected=_worst(second))


def _told(number: int) -> Told:
    return Told(coverage_percent=tuple(float(each) for each in PLATES[number]))


def _job(number: int) -> JobRecord:
    return JobRecord(
        press=PRESS,
        unit=UNIT,
        title=f"Invented job {number + 1}",
        printed_on=date(2030, 5, 6) + timedelta(days=number),
        sweep=SWEEP,
        aim_density=AIM,
        saturation=CURVE.saturation,
        rate_per_um=CURVE.rate,
        invented=True,
    )


def _fountain(found: Checked) -> Fountain:
    assert found.unit.fountain is not None
    return found.unit.fountain


def _keys(found: Checked, learned: Learned | None) -> tuple[float, ...]:
    """The keys for a plate, from the press file or from what was learned."""
    zoned, fountain = train_of(found.press, found.unit, found.job), _fountain(found)
    known = zoned if learned is None else zoned.with_split(learned.split_off)
    assert zoned.sweep_mm is not None
    response, aim = sweep_response(known, [zoned.sweep_mm], accuracy=1e-4), SolidAim(density=AIM, curve=CURVE)
    if learned is None:
        settings = settings_for(response, fountain, unit=UNIT, aim=aim, sweep_reading=SWEEP, accuracy=1e-4)
    else:
        settings = settings_learned(
            response, fountain, unit=UNIT, aim=aim, learned=learned, sweep_reading=SWEEP, accuracy=1e-4
        )
    return tuple(each.reading for each in settings.readings)


def _read(found: Checked, keys: tuple[float, ...], rng: np.random.Generator) -> tuple[float, ...]:
    """Densities of the sheet that the true press prints, as an instrument reads them."""
    fountain = _fountain(found)
    films = np.maximum(np.array(keys) - ZEROS, 0.0) * np.array(GAINS) * (fountain.keys.film_um_per_division or 0.0)
    blade = films_per_opening(np.ones(films.size), coupling=limits_on(fountain.blade).coupling)
    true = _true(train_of(found.press, found.unit, found.job))
    prints_um = true.prints_um(settle(true.train, true.keyed(blade @ films), accuracy=1e-4, throw=True))
    densities = solid_density(prints_um, saturation=CURVE.saturation, rate=CURVE.rate)
    return tuple(float(each) for each in densities + rng.normal(0.0, READING_ERROR, films.size))


def _true(zoned: ZonedTrain) -> ZonedTrain:
    form = next(nip.id for nip in zoned.train.nips if nip.kind is NipKind.FORM)
    other = zoned.with_split(SPLIT_OFF)
    asked = Asked(train=other.train, demand=other.demand)
    light = moved(asked, Parameter(kind=ParameterKind.CONTACT, name=form), by=FORM_OFF)
    return ZonedTrain(train=light.train, demand=light.demand, zones=zoned.zones)


def _worst(densities: tuple[float, ...]) -> float:
    return float(np.abs(np.array(densities) - AIM).max())


def visualize(result: Week) -> str:
    """Worst zone of each day's sheets."""
    days = result.days
    return picture(
        "A press that is logged comes to be known",
        [
            ("first sheet, keys set from the records", [(d.jobs_logged, d.first) for d in days]),
            ("after one correction", [(d.jobs_logged, d.corrected) for d in days]),
        ],
        says="the worst zone of each plate of an invented week, on a press that is not as its file says",
        x=exact_axis("jobs logged before", 0.0, float(len(days) - 1), most=len(days) - 1),
        y=linear_axis("off the aim, D", 0.0, max(day.first for day in days)),
    )


if __name__ == "__main__":
    week = main()
    for each in week.days:
        print(f"{each.jobs_logged} jobs logged: first sheet {each.first:.3f} D off, {each.corrected:.3f} corrected.")
    print(f"The last one without any record: {week.without_log:.3f} D off.")
