"""What is asked when a job is to be set: the plate, the aim, the run, and what is on the rollers before."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.setup.aim import Aim, SolidAim, TintAim
from filmsplit.setup.learned import Learned
from filmsplit.setup.limits import KeyLimits
from filmsplit.studies.film_question import FilmQuestion

DENSITY_TOLERANCE = 0.10
"""How far a good sheet's solid may read from the settled one, density (common practice: a tenth)."""

FILM_TOLERANCE = 0.10
"""The same as a part of the film, where no constants turn films into densities (common practice: a tenth)."""


class Before(Enum):
    """What is on the rollers when the job begins."""

    CLEAN = "clean"
    CHARGED = "charged"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EarlierJob:
    """The job before on this unit, in the same ink: image share and film on the fountain roller by zone, and sweep."""

    coverage: tuple[float, ...]
    key_films_um: Array
    sweep_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JobQuestion:
    """A job for one unit. ``film`` holds the plate, the sheet, the law of the stock and the density of the ink.

    ``run`` is in good sheets, ``None`` where it is not known. ``earlier`` is needed with ``Before.CHARGED``.
    ``tolerance`` is a density where the aim has constants, otherwise a part of the film.
    """

    film: FilmQuestion
    aim: Aim
    run: int | None = None
    before: Before = Before.CLEAN
    earlier: EarlierJob | None = None
    tolerance: float | None = None
    learned: Learned | None = None
    limits: KeyLimits | None = None
    sweep_reading: float | None = None

    def __post_init__(self) -> None:
        if (self.before is Before.CHARGED) != (self.earlier is not None):
            raise ValueError("rollers are charged from an earlier job, and only then is one needed")

    @property
    def curve(self) -> DensityCurve | None:
        """Constants that turn films into densities, if the aim has them."""
        return self.aim.curve if isinstance(self.aim, SolidAim | TintAim) else None
