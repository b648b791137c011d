"""Where the ink is in one unit: cut it into cells once, find the keys, settle, and say how sure the answer is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages import Problem
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.response import Response, start_up
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train
from filmsplit.studies.film_band import BandFound, Uncertainties, band_on
from filmsplit.studies.film_cells import Prepared, prepare
from filmsplit.studies.film_keys import Keyed, settle_keyed
from filmsplit.studies.film_question import Mode
from filmsplit.studies.film_setting import FilmSetting


class Stage(Enum):
    """What a study is doing."""

    SETTLE = "settle"
    BAND = "band"
    START_UP = "start-up"


Progress = Callable[[Stage, float], None]
"""Told the stage and the part of it that is done (0..1), now and then."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmStudy:
    """The answer and all it rests on. Band and response are ``None`` unless it settled and sheets are printed.

    ``demand`` holds the key films by column, given or found.
    """

    setting: FilmSetting
    train: Train
    keyed: Keyed
    band: BandFound | None
    response: Response | None
    notes: tuple[Problem, ...]

    @property
    def solution(self) -> Solution:
        return self.keyed.solution

    @property
    def demand(self) -> Demand:
        return self.keyed.demand

    @property
    def grid(self) -> Grid:
        return self.train.grid

    @property
    def ok(self) -> bool:
        return self.solution.ok

    @property
    def prints(self) -> bool:
        """Whether it settled and ink reaches the sheet."""
        return self.response is not None


def film_study(
    setting: FilmSetting, *, uncertainties: Uncertainties | None = None, progress: Progress | None = None
) -> FilmStudy:
    """Where the ink is. Without ``uncertainties`` there is no band. :class:`Refusal` where it cannot be computed."""
    tell = progress or _silent
    prepared = prepare(setting)
    keyed = settle_keyed(prepared, told=lambda part: tell(Stage.SETTLE, part))
    printing = keyed.solution.ok and setting.question.mode is Mode.PRINT and _prints(keyed)
    band = response = None
    if printing and uncertainties is not None:
        band = band_on(setting, keyed, uncertainties=uncertainties, told=lambda part: tell(Stage.BAND, part))
    if printing:
        response = _start_up(prepared, keyed, told=lambda part: tell(Stage.START_UP, part))
    return FilmStudy(
        setting=setting,
        train=prepared.train,
        keyed=keyed,
        band=band,
        response=response,
        notes=tuple(_notes(setting, keyed)),
    )


def _silent(_stage: Stage, _part: float) -> None:
    """Nobody wants to be told."""


def _prints(keyed: Keyed) -> bool:
    answers = keyed.solution.answers
    return answers is not None and answers.sheet_mean_um > 0


def _start_up(prepared: Prepared, keyed: Keyed, *, told: Callable[[float], None]) -> Response:
    """The print of a clean train until it has made 99 % of the way."""
    return start_up(
        prepared.train, keyed.demand, solution=keyed.solution, progress=lambda _, made: told(min(1.0, max(0.0, made)))
    )


def _notes(setting: FilmSetting, keyed: Keyed) -> Iterator[Problem]:
    """What was assumed, and how the keys were found."""
    yield from setting.assumptions
    pulled, cost = keyed.solution.provenance.cycles_pulled, keyed.solution.statistics.pull_error
    if pulled > 0:
        values = {"unit": setting.unit.id, "percent": 100 * pulled, "cost_percent": 100 * cost}
        yield Problem("film-cycles-pulled", values)
    if setting.key_films_um is None and keyed.films_um is not None:
        slug = "film-keys-scaled" if setting.transfer.is_linear else "film-keys-tried"
        yield Problem(slug, {"solves": keyed.solves, "unit": setting.unit.id})
