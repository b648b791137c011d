"""Invent the log of jobs that comes with the program: what a hidden press, known to nobody else, would have printed.

    python tools/invent_jobs.py > src/filmsplit/library/invented_jobs.toml

Each job is set by the program, printed by a press whose keys, split and one form roller are not as its file says (the
numbers stand below), read with a densitometer's error, corrected once by the program, and logged as it then stood. The
sheets to the OK are the first pulls, on a train charged as the first settings have it, and those from the correction on
until no zone is farther than ``OK_WITHIN`` from the aim (or comes no nearer).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.actions.find import find_press
from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.press import Unit
from filmsplit.setup.aim import SolidAim, density_of
from filmsplit.setup.correct import Measured, correct
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.settings import Settings, settings_for
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.sweep_response import SweepResponse, sweep_response
from filmsplit.setup.wait import Waited, wait_for
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import NipKind
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.zoned import zoned_train

PRESS, UNIT, SEED = "wagtail", "A", 5
AIM, CURVE, READING_ERROR = 1.4, DensityCurve(2.0, 1.2), 0.01
SPLIT_OFF, FORM_OFF, KEYS_OFF, ZEROS_OFF = -0.03, -0.2, 0.2, 0.5
"""The hidden press: split 0.47, one form roller light, films of the keys up to 20 % to either side, two zeros off by
half a division."""
MOST_CELLS = 60_000
FIRST_PULLS = 25
"""Sheets until the first was measured and the keys were moved (common practice: some tens)."""
OK_WITHIN = 0.06
"""Density by which a zone of the OK sheet may be off the aim (invented; shops keep 0.05 to 0.1)."""
HARDLY = 0.02

COATED, UNCOATED = "coated, silk, 135 g/m²", "uncoated offset, 80 g/m²"
WATER = {COATED: 38, UNCOATED: 44}
"""Divisions of the dampening: made up, a little more on uncoated paper."""


@dataclass(frozen=True, kw_only=True)
class Job:
    """What somebody wanted: the sheet along and across, how many, and the coverage of each zone in percent."""

    day: str
    title: str
    stock: str
    sheet_mm: tuple[float, float]
    sheets: int
    percents: tuple[int, ...]


FORM = (4, 13, 16, 11, 17, 5, 13, 16, 12, 16, 5)
JOBS = (
    Job(
        day="2031-03-03",
        title="Order form for an invented dairy",
        stock=UNCOATED,
        sheet_mm=(215.0, 310.0),
        sheets=3000,
        percents=FORM,
    ),
    Job(
        day="2031-03-05",
        title="Programme of invented evening classes",
        stock=UNCOATED,
        sheet_mm=(297.0, 210.0),
        sheets=1200,
        percents=(0, 0, 9, 12, 14, 11, 12, 10, 8, 0, 0),
    ),
    Job(
        day="2031-03-06",
        title="Poster for an invented fair",
        stock=COATED,
        sheet_mm=(420.0, 320.0),
        sheets=400,
        percents=(18, 32, 38, 36, 34, 30, 36, 40, 34, 28, 16),
    ),
    Job(
        day="2031-03-10",
        title="Order form for an invented dairy, again",
        stock=UNCOATED,
        sheet_mm=(215.0, 310.0),
        sheets=2500,
        percents=FORM,
    ),
    Job(
        day="2031-03-12",
        title="Leaflet of an invented choir",
        stock=COATED,
        sheet_mm=(297.0, 210.0),
        sheets=800,
        percents=(0, 0, 22, 26, 30, 24, 20, 18, 25, 0, 0),
    ),
    Job(
        day="2031-03-13",
        title="Jacket for an invented novel",
        stock=COATED,
        sheet_mm=(230.0, 320.0),
        sheets=600,
        percents=(24, 30, 44, 46, 40, 26, 22, 30, 34, 38, 20),
    ),
    Job(
        day="2031-03-17",
        title="Menu of an invented canteen",
        stock=UNCOATED,
        sheet_mm=(297.0, 210.0),
        sheets=500,
        percents=(0, 0, 7, 10, 12, 15, 13, 9, 8, 0, 0),
    ),
    Job(
        day="2031-03-18",
        title="Tickets for an invented ferry",
        stock=UNCOATED,
        sheet_mm=(320.0, 300.0),
        sheets=1500,
        percents=(8, 14, 18, 20, 16, 18, 20, 14, 18, 16, 8),
    ),
)


@dataclass(frozen=True)
class Hidden:
    """What is true of the press: parts of the nominal film by key, and divisions its zero lies from the nominal."""

    gains: Array
    zeros: Array

    def train(self, zoned: ZonedTrain) -> ZonedTrain:
        form = next(nip.id for nip in zoned.train.nips if nip.kind is NipKind.FORM)
        asked = Asked(train=zoned.train, demand=zoned.demand)
        asked = moved(asked, Parameter(kind=ParameterKind.SPLIT), by=SPLIT_OFF)
        asked = moved(asked, Parameter(kind=ParameterKind.CONTACT, name=form), by=FORM_OFF)
        return ZonedTrain(train=asked.train, demand=asked.demand, zones=zoned.zones)

    def films_um(self, readings: Array, settings: Settings) -> Array:
        """Film of each key's zone on the fountain roller, the blade's stiffness in it."""
        nominal = settings.scale.full_um / settings.scale.ranges
        opened = np.where(readings > 0, np.maximum(readings - self.zeros, 0.0), 0.0)
        blade = films_per_opening(np.ones(opened.size), coupling=settings.limits.coupling)
        return np.asarray(blade @ (opened * nominal * self.gains))


def hidden(zones: int) -> Hidden:
    """The press, the same each time."""
    rng = np.random.default_rng(SEED)
    zeros = np.zeros(zones)
    zeros[rng.choice(zones, 2, replace=False)] = rng.choice([-ZEROS_OFF, ZEROS_OFF], 2)
    return Hidden(gains=rng.uniform(1 - KEYS_OFF, 1 + KEYS_OFF, zones), zeros=zeros)


def main() -> None:
    """Print the file."""
    unit = find_press(PRESS).press.unit(UNIT)
    rng = np.random.default_rng(SEED)
    print("# INVENTED. No such job was printed. Made by tools/invent_jobs.py: make it again, do not edit.")
    print(f'press = "{PRESS}"\nunit = "{UNIT}"\ninvented = true')
    print(f"aim_density = {AIM}\nsaturation = {CURVE.saturation}\nrate_per_um = {CURVE.rate}")
    for job in JOBS:
        print("\n" + "\n".join(_lines(job, unit, rng=rng)), flush=True)


def _lines(job: Job, unit: Unit, *, rng: np.random.Generator) -> Iterator[str]:
    """One job, set, printed, corrected and printed again."""
    press, zones = find_press(PRESS).press, len(job.percents)
    question = FilmQuestion(coverage=tuple(each / 100 for each in job.percents), sheet_mm=job.sheet_mm)
    (setting,) = settings_of(press, (unit,), question)
    assert unit.fountain is not None
    sweeps = sweep_range(unit.fountain.sweep, unit=unit.id)
    response = sweep_response(zoned_train(setting, most_cells=MOST_CELLS), sweeps.sweeps_mm)
    settings = _settings(response, unit)
    hidden_press = hidden(zones)
    true = hidden_press.train(response.zoned.swept(settings.plan.sweep_mm))
    first = np.array([each.reading for each in settings.readings])
    demand = true.keyed(hidden_press.films_um(first, settings))
    before = settle(true.train, demand, throw=True)
    image = np.array(job.percents) > 0
    read = _read(true.prints_um(before), image, rng=rng)
    moves = correct(settings.as_set, Measured(densities=read, curve=CURVE, reading_error=READING_ERROR))
    then = np.array([each.reading for each in moves.readings])
    waited = wait_for(true, hidden_press.films_um(then, settings), before=before)
    to_ok = FIRST_PULLS + _sheets_until_ok(waited, image)
    yield "[[job]]"
    yield f'printed_on = {job.day}\ntitle = "{job.title}"\nstock = "{job.stock}"'
    yield f"sheet_mm = [{job.sheet_mm[0]}, {job.sheet_mm[1]}]\nsheets = {job.sheets}"
    yield f"sheets_to_ok = {to_ok}\nwaste_sheets = {to_ok + int(rng.integers(5, 40))}"
    yield f"sweep = {settings.sweep_reading:g}\nwater = {WATER[job.stock] + int(rng.integers(-2, 3))}"
    yield f"coverage_percent = {list(job.percents)}"
    yield f"keys = [{', '.join(f'{each:g}' for each in then)}]"
    yield f"first_densities = [{_row(read)}]"
    yield f"densities = [{_row(_read(waited.settled_um, image, rng=rng))}]"


def _settings(response: SweepResponse, unit: Unit) -> Settings:
    """As the program sets it, the sweep on a whole division."""
    assert unit.fountain is not None
    aim = SolidAim(density=AIM, curve=CURVE)
    free = settings_for(response, unit.fountain, unit=unit.id, aim=aim)
    assert free.sweep_reading is not None
    return settings_for(response, unit.fountain, unit=unit.id, aim=aim, sweep_reading=float(round(free.sweep_reading)))


def _sheets_until_ok(waited: Waited, image: NDArray[np.bool_]) -> int:
    """From the correction on: the first sheet whose zones are near enough, or hardly farther than they will ever be."""
    enough = max(OK_WITHIN, _off(waited.settled_um[image]) + HARDLY)
    nears = (sheet for sheet, films in enumerate(waited.films_um, start=1) if _off(films[image]) <= enough)
    return next(nears, len(waited.films_um))


def _off(films_um: Array) -> float:
    return max(abs(density_of(float(film), CURVE) - AIM) for film in films_um)


def _read(films_um: Array, image: NDArray[np.bool_], *, rng: np.random.Generator) -> Array:
    """What a densitometer reads in each zone to a hundredth; not a number where there is nothing to read."""
    exact = np.array([density_of(float(film), CURVE) for film in films_um])
    return np.where(image, np.round(exact + rng.normal(0.0, READING_ERROR, exact.size), 2), np.nan)


def _row(densities: Array) -> str:
    return ", ".join("nan" if np.isnan(each) else f"{each:.2f}" for each in densities)


if __name__ == "__main__":
    main()
