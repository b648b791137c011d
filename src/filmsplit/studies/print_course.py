"""How a print runs: from sheet to sheet within a common period, along the sheet, and while the rollers fill."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.march import march
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, empty
from filmsplit.simulation.train import Train
from filmsplit.studies.film_answer import told
from filmsplit.studies.ghosts import spread_evenly, strongest_difference

SHEETS = (10, 30, 100, 300)
"""Sheets that are looked at while the rollers fill (from empty, with the run settings)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtSheet:
    """The print at one sheet of the start, rollers empty and the run settings from the first sheet on."""

    sheet: int = told("sheet, from 1")
    film: float = told("its mean film over the settled one")
    ghost: float = told("strongest ghost on an even area of it, seen or not; film difference, no sign")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintCourse:
    """Ripple of the settled print, and the first sheets."""

    between_sheets: float = told("largest less smallest mean film of the sheets of one common period, over their mean")
    along_sheet: float = told(
        "largest less smallest film along the print laid out evenly, in means of 10 mm, over its mean"
    )
    start: tuple[AtSheet, ...] = told("sheets while the rollers fill")


BAND_MM = 10.0


def print_course(zoned: ZonedTrain, films_um: Array, *, solution: Solution, revolutions: int) -> PrintCourse:
    """The course of a settled print whose common period is ``revolutions`` turns."""
    demand = zoned.keyed(films_um)
    even = replace(demand, coverage=np.ascontiguousarray(spread_evenly(zoned)))
    train, state = zoned.train, solution.state
    if state is None:
        raise ValueError("a print that did not settle has no course")
    settled = march(train, demand, state=state, revolutions=revolutions)
    means = settled.sheet_means_um
    mean = float(means.mean())
    flat = march(train, even, state=march(train, even, state=state, revolutions=4 * revolutions).state, revolutions=1)
    return PrintCourse(
        between_sheets=float(np.ptp(means)) / mean if mean > 0 else 0.0,
        along_sheet=_along(flat.sheet_um, even.coverage, cell_mm=train.grid.round_mm),
        start=tuple(_start(train, (demand, even), mean_um=mean, sheets=SHEETS)),
    )


def _along(film: Array, coverage: Array, *, cell_mm: float) -> float:
    """Range of the mean film along the sheet, in bands."""
    inked = coverage > 0
    rows = np.flatnonzero(inked.any(axis=1))
    profile = np.array([film[row][inked[row]].mean() for row in rows])
    band = max(1, round(BAND_MM / cell_mm))
    if profile.size < 2 * band:
        return 0.0
    means = np.convolve(profile, np.ones(band) / band, mode="valid")
    return float(np.ptp(means) / means.mean())


def _start(train: Train, demands: tuple[Demand, Demand], *, mean_um: float, sheets: Sequence[int]) -> list[AtSheet]:
    found: list[AtSheet] = []
    states: list[State] = [empty(train), empty(train)]
    done = 0
    for sheet in sheets:
        prints = []
        for place, demand in enumerate(demands):
            marched = march(train, demand, state=states[place], revolutions=sheet - done)
            states[place] = marched.state
            prints.append(marched)
        done = sheet
        ghost = strongest_difference(
            prints[0].sheet_um, prints[1].sheet_um, coverage=demands[0].coverage, grid=train.grid
        )
        film = float(prints[0].sheet_means_um[-1])
        found.append(AtSheet(sheet=sheet, film=film / mean_um if mean_um > 0 else 0.0, ghost=ghost))
    return found
