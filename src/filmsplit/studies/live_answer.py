"""What the sheet answers to settings that were moved: its film, zone by zone against the aim, and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.setup.aim import density_of
from filmsplit.simulation.solution import Solution
from filmsplit.studies.live_cells import LiveTrain
from filmsplit.studies.live_job import LiveJob, Moved
from filmsplit.studies.live_keys import LiveKeys


class Against(Enum):
    """A zone against its aim, as far as a good sheet may be off."""

    FULL = "full"
    STARVED = "starved"
    RIGHT = "right"
    NO_IMAGE = "no-image"


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveZone:
    """One zone: mean film on its image and density of its solid (``None`` without image, or without constants)."""

    zone: int
    film_um: float | None
    density: float | None
    against: Against


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LiveAnswer:
    """The sheet. ``film_um`` and ``coverage`` are its cells from the lead edge and from the operator's side.

    ``problem`` says why there is none: nothing is then to be read off it, and ``zones`` is empty. ``error`` is the
    largest error on the image, part of its mean film, as the solve judges it; ``solved`` whether the train itself was
    settled for this (else the sum of its keys).
    """

    zones: tuple[LiveZone, ...]
    film_um: Array
    coverage: Array
    size_mm: float
    error: float
    solved: bool
    problem: Problem | None = None

    @property
    def settled(self) -> bool:
        return self.problem is None


def from_keys(keys: LiveKeys, moved: Moved) -> LiveAnswer:
    """The sheet as the sum of what its keys print: at once."""
    live, job = keys.live, keys.live.job
    film_um = keys.film_um(job.films_um(moved), job.sweep_mm(moved))
    return _answer(live, film_um, error=live.cells.accuracy, solved=False)


def from_train(live: LiveTrain, moved: Moved, *, between: Callable[[], None] = lambda: None) -> LiveAnswer:
    """The sheet of the train settled with these settings; where it did not settle, why. ``between`` is called after
    every period that is turned."""
    job = live.job
    films_um, sweep_mm = job.films_um(moved), job.sweep_mm(moved)
    return _settled(live, live.settled(films_um, sweep_mm, progress=lambda *_: between()))


def _settled(live: LiveTrain, solution: Solution) -> LiveAnswer:
    if not solution.ok or solution.sheet_um is None:
        return LiveAnswer(
            zones=(),
            film_um=np.zeros(live.coverage.shape),
            coverage=live.coverage,
            size_mm=live.size_mm,
            error=float("nan"),
            solved=True,
            problem=solution.problem,
        )
    error = float(solution.statistics.error)
    return _answer(live, np.asarray(solution.sheet_um[live.sheet]), error=error, solved=True)


def _answer(live: LiveTrain, film_um: Array, *, error: float, solved: bool) -> LiveAnswer:
    return LiveAnswer(
        zones=tuple(_zones(live, live.zone_films_um(film_um))),
        film_um=film_um,
        coverage=live.coverage,
        size_mm=live.size_mm,
        error=error,
        solved=solved,
    )


def _zones(live: LiveTrain, films_um: Array) -> Iterator[LiveZone]:
    job = live.job
    for zone, (film, printed) in enumerate(zip(films_um, live.printing, strict=True), start=1):
        density = None if job.curve is None or not printed else density_of(float(film), job.curve)
        yield LiveZone(
            zone=zone,
            film_um=float(film) if printed else None,
            density=density,
            against=_against(job, float(film), density) if printed else Against.NO_IMAGE,
        )


def _against(job: LiveJob, film_um: float, density: float | None) -> Against:
    """By density where there is one, else by film as a part of the aim."""
    aim = job.aim_density
    off = film_um / job.aim_um - 1.0 if density is None or aim is None else density - aim
    if abs(off) <= job.tolerance:
        return Against.RIGHT
    return Against.FULL if off > 0 else Against.STARVED
