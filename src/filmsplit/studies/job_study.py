"""A job set for one unit: sweep and keys, what they print and how sure that is, waits, start, standing ink, amounts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from filmsplit.messages import Problem, Refusal
from filmsplit.press.fountain import Fountain
from filmsplit.setup.first_sheet import FirstSheet, Spread, first_sheet, press_sides
from filmsplit.setup.settings import Settings, settings_for, settings_learned
from filmsplit.setup.standing_ink import BarPlan, Stay, stays, take_off_bars
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.sweep_response import SweepResponse, sweep_response
from filmsplit.setup.wait import wait_for
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.job_question import JobQuestion
from filmsplit.studies.job_start import JobStart, job_start
from filmsplit.studies.zoned import zoned_train

LONGER, LONGEST_MM = 2.5, 6.0
"""How much longer cells are for what is a ratio or a number of sheets: responses, bands, waits. Prints are settled on
fine cells."""

MOVE = 0.1
"""Part by which all keys are opened to see how long a move takes; the wait hardly depends on it (a linear train)."""


FOUND = frozenset({"film-assumed-keys", "film-assumed-sweep"})
"""What a question about films assumes and a job finds instead."""


class Stage(Enum):
    """What a study of a job is doing."""

    RESPONSE = "response"
    SETTINGS = "settings"
    BAND = "band"
    STANDING = "standing"
    START = "start"


Told = Callable[[Stage], None]
"""Told each stage as it begins."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JobStudy:
    """Everything about a job on one unit. ``zoned`` has the sweep and the split in force.

    ``solution`` is the settled print of the keys as they are read (``settings.set_films_um``), ``look_again`` the first
    sheet at which a key move can be judged (``None``: not within the sheets that are followed), ``bars`` what mends ink
    that stays too long (``None``: none does). ``start`` is ``None`` where the law on the sheet is not linear.
    """

    setting: FilmSetting
    question: JobQuestion
    zoned: ZonedTrain
    settings: Settings
    solution: Solution
    first: FirstSheet
    look_again: int | None
    stays: tuple[Stay, ...]
    bars: BarPlan | None
    start: JobStart | None

    @property
    def notes(self) -> tuple[Problem, ...]:
        """What was assumed and what cannot be reached."""
        assumed = (each for each in self.setting.assumptions if each.slug not in FOUND)
        standing = self.bars.notes if self.bars is not None else ()
        return (*assumed, *self.settings.notes, *standing)


def job_study(setting: FilmSetting, question: JobQuestion, *, told: Told | None = None) -> JobStudy:
    """Set a job. :class:`Refusal` where it cannot be set at all, ``NotSettledError`` where a print did not settle."""
    tell = told or _silent
    tell(Stage.RESPONSE)
    zoned = _train(setting, question)
    coarse = _coarse(setting, question, zoned=zoned)
    # What each key does is solved on longer cells; the settings are settled on fine ones, and put right by that.
    response = replace(sweep_response(coarse, _sweeps_mm(setting, zoned)), zoned=zoned)
    tell(Stage.SETTINGS)
    settings = _settings(response, _fountain(setting), setting=setting, question=question)
    zoned, coarse = (each.swept(settings.plan.sweep_mm) for each in (zoned, coarse))
    films_um = settings.set_films_um
    solution = settle(zoned.train, zoned.keyed(films_um), start=settings.plan.solution.state, throw=True)
    tell(Stage.BAND)
    settled = settle(coarse.train, coarse.keyed(films_um), throw=True)
    low, high = press_sides(coarse, films_um, solution=settled)
    spread = Spread(press_low=low, press_high=high, zero_divisions=settings.scale.settable)
    look_again = wait_for(coarse, films_um * (1.0 + MOVE), before=settled).look_again
    tell(Stage.STANDING)
    bars = _bars(setting, zoned, settings=settings, solution=solution)
    tell(Stage.START)
    linear = setting.transfer.is_linear
    return JobStudy(
        setting=setting,
        question=question,
        zoned=zoned,
        settings=settings,
        solution=solution,
        first=first_sheet(settings, spread),
        look_again=look_again,
        stays=stays(zoned, solution),
        bars=bars,
        start=job_start(setting, zoned, solution, films_um=films_um, question=question) if linear else None,
    )


def _train(setting: FilmSetting, question: JobQuestion) -> ZonedTrain:
    """The train, with the split that was learned."""
    zoned = zoned_train(setting)
    return zoned if question.learned is None else zoned.with_split(question.learned.split_off)


def _coarse(setting: FilmSetting, question: JobQuestion, *, zoned: ZonedTrain) -> ZonedTrain:
    """The same with longer cells round the rollers, and the same columns: zones keep their edges."""
    grid = zoned.train.grid
    longer_mm = max(grid.round_mm, min(LONGER * grid.round_mm, LONGEST_MM))
    longer = replace(setting.question, round_mm=longer_mm, across_mm=grid.across_mm)
    try:
        return _train(replace(setting, question=longer), question)
    except Refusal:  # a way from nip to nip is shorter than that: the fine cells do as well, only more slowly
        return zoned


def _silent(_: Stage) -> None:
    """Nobody wants to be told."""


def _fountain(setting: FilmSetting) -> Fountain:
    assert setting.unit.fountain is not None
    return setting.unit.fountain


def _sweeps_mm(setting: FilmSetting, zoned: ZonedTrain) -> tuple[float, ...]:
    return sweep_range(_fountain(setting).sweep, unit=setting.unit.id).sweeps_mm if zoned.sweeps else ()


def _settings(response: SweepResponse, fountain: Fountain, *, setting: FilmSetting, question: JobQuestion) -> Settings:
    """With what was learned of the press, where anything was."""
    unit, aim, limits, reading = setting.unit.id, question.aim, question.limits, question.sweep_reading
    if question.learned is None:
        return settings_for(response, fountain, unit=unit, aim=aim, limits=limits, sweep_reading=reading)
    learned = question.learned
    return settings_learned(
        response, fountain, unit=unit, aim=aim, learned=learned, limits=limits, sweep_reading=reading
    )


def _bars(setting: FilmSetting, zoned: ZonedTrain, *, settings: Settings, solution: Solution) -> BarPlan | None:
    """Take-off bars at the tail of the sheet, behind the last image, where ink stays too long."""
    inked = np.flatnonzero(np.any(zoned.demand.coverage > 0, axis=1))
    if inked.size == 0:
        return None
    tail = min(zoned.train.grid.rows, round(setting.sheet.length_mm / zoned.train.grid.round_mm))
    last = int(inked[-1]) + 1
    plan = take_off_bars(zoned, settings.set_films_um, solution, rows=(min(last, tail), tail))
    return plan if plan.notes else None
