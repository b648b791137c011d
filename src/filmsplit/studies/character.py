"""What the counts of a press stand for: ghost left, sideways mixing, ink store, sheets to respond.

Every press prints the same standard jobs on its own train, so the figures compare presses; none forecasts a job.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.simulation.grams import grams
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.response import start_up
from filmsplit.studies.even_films import subject_of
from filmsplit.studies.ghost import ghost_figures
from filmsplit.studies.mixing import mixing_figure
from filmsplit.studies.standard_job import (
    COARSE,
    NOT_SETTLED,
    STANDARD_JOB,
    Cells,
    Figure,
    Subject,
    figure,
    settled_tint,
)

FOLLOWED = 0.95
"""Part of a change up to which sheets are printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Character:
    """The figures of one printing unit; ``problems`` say why there are none.

    ``cycles_pulled`` is the part by which a cycle was changed for the mixing, so that all have a common period.
    """

    unit: str
    figures: tuple[Figure, ...]
    cycles_pulled: float = 0.0
    problems: tuple[Problem, ...] = ()

    def figure(self, name: str) -> Figure:
        """The figure called ``name``; ``KeyError`` if there is none."""
        for each in self.figures:
            if each.name == name:
                return each
        raise KeyError(name)


def character_of(
    press: Press, unit: Unit, *, cells: Cells = COARSE, told: Callable[[float], None] | None = None
) -> Character:
    """The character of one unit; without figures where its ink train cannot be computed.

    ``told`` hears the part of the work that is done.
    """
    try:
        subject = subject_of(press, unit, cells=cells)
    except Refusal as refusal:
        return Character(unit=unit.id, figures=(), problems=tuple(refusal.problems))
    figures: list[Figure] = []
    for done, study in enumerate(_STUDIES, start=1):
        figures += study(subject)
        if told is not None:
            told(done / len(_STUDIES))
    pulled = with_common_period(subject.network)[0].cycles_pulled
    return Character(unit=unit.id, figures=tuple(figures), cycles_pulled=pulled)


def _mixing(subject: Subject) -> Iterator[Figure]:
    yield mixing_figure(subject)


def store_figures(subject: Subject) -> Iterator[Figure]:
    """Ink on the train over the sheet's width under the standard job, in g, and over what a sheet takes."""
    _, _, solution = settled_tint(subject, STANDARD_JOB.tint)
    in_grams = sheets = None
    if solution.ok and solution.answers is not None:
        answers = solution.answers
        per_um_mm = answers.stored_um_mm2 / answers.sheet_mean_um  # the column is 1 mm wide
        stored = per_um_mm * STANDARD_JOB.film_um * subject.sheet_mm[1]
        in_grams = grams(stored, density_g_per_cm3=STANDARD_JOB.density_g_per_cm3)
        sheets = answers.stored_um_mm2 / answers.printed_per_revolution_um_mm2
    yield figure("store_g", "g", value=in_grams)
    yield figure("store_sheets", "", value=sheets)


def light_figures(subject: Subject) -> Iterator[Figure]:
    """Sheets to respond on the light tint."""
    return _response(subject, STANDARD_JOB.light, names=("respond_light_63", "respond_light_95"))


def heavy_figures(subject: Subject) -> Iterator[Figure]:
    """Sheets to respond on the heavy tint."""
    return _response(subject, STANDARD_JOB.heavy, names=("respond_heavy_63", "respond_heavy_95"))


def _response(subject: Subject, cover: float, *, names: tuple[str, str]) -> Iterator[Figure]:
    """First sheets at which a step of all keys has made 63 and 95 % of its change.

    The train is linear in the keys, so a step of them is followed as clean rollers are: both take the same sheets.
    """
    train, demand, solution = settled_tint(subject, cover)
    found: tuple[int | None, int | None] = (None, None)
    missing = NOT_SETTLED
    if solution.ok:
        response = start_up(train, demand, solution=solution, enough=FOLLOWED)
        found, missing = (response.sheets_63, response.sheets_95), "character.too_slow"
    for name, sheets in zip(names, found, strict=True):
        yield figure(name, "", value=sheets, missing=missing)


_STUDIES: tuple[Callable[[Subject], Iterator[Figure]], ...] = (
    ghost_figures,
    _mixing,
    store_figures,
    light_figures,
    heavy_figures,
)
