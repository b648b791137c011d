"""What a logged job says about the keys, and the print that a guess about them would have made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.setup.key_scale import KeyScale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.split import Sides, print_factor


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoggedJob:
    """A job as it was printed once the press had settled, by zone from the operator's side.

    ``response`` is the engine's for this plate at this sweep (film on the sheet in zone i, um per um of key film j),
    ``split`` what another split would do to each zone's print, where it was asked for. ``films_um`` are the films read
    on the OK sheet (not a number where none was) and ``errors_um`` one standard deviation of each. ``sweep_mm`` is
    ``None`` where the feed has no sweep.
    """

    response: Array
    readings: Array
    films_um: Array
    errors_um: Array
    sweep_mm: float | None = None
    split: Sides | None = None

    def __post_init__(self) -> None:
        zones = self.readings.size
        shapes = {self.films_um.shape, self.errors_um.shape, self.response.shape[:1], self.response.shape[1:]}
        read = ~np.isnan(self.films_um)
        if shapes != {(zones,)} or not np.all(self.errors_um[read] > 0) or not np.all(np.isfinite(self.readings)):
            raise ValueError("needs a reading, a film with its error, and a response for each zone")

    @property
    def read(self) -> NDArray[np.intp]:
        """Zones whose film was read, by number from 0."""
        return np.flatnonzero(~np.isnan(self.films_um))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Guess:
    """Numbers of a press: logarithm of its mean gain, sweep exponent beside the engine's, split less an even one;
    and by key the deviation of its gain (logarithm), its drift per job, and its zero less the nominal (divisions)."""

    press: float
    sweep: float
    split: float
    gains: Array
    drifts: Array
    zeros: Array


def prints_of(guess: Guess, jobs: Sequence[LoggedJob], *, scale: KeyScale, coupling: float) -> list[Array]:
    """Film by zone of each job. A key at or below its nominal zero is shut, whatever its true zero."""
    middle = middle_sweep_mm(jobs)
    blade = films_per_opening(np.ones(len(scale.zeros)), coupling=coupling)
    nominal, gains = np.array(scale.zeros), np.array(scale.gains_um)
    prints = []
    for number, job in enumerate(jobs):
        later = number - (len(jobs) - 1) / 2
        opened = np.where(job.readings > nominal, np.maximum(job.readings - nominal - guess.zeros, 0.0), 0.0)
        films = gains * np.exp(guess.press + guess.gains + guess.drifts * later) * opened
        factor = 1.0 if job.split is None else print_factor(job.split, guess.split)
        swept = 1.0 if job.sweep_mm is None or middle is None else (job.sweep_mm / middle) ** guess.sweep
        prints.append(np.asarray(swept * factor * (job.response @ (blade @ films))))
    return prints


def middle_sweep_mm(jobs: Sequence[LoggedJob]) -> float | None:
    """Geometric mean of the sweeps logged, from which the sweep's exponent counts."""
    sweeps = [job.sweep_mm for job in jobs if job.sweep_mm is not None]
    return float(np.exp(np.mean(np.log(sweeps)))) if sweeps else None
