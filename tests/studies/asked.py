"""Questions put to presses, for the tests of studies."""

from __future__ import annotations

from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.studies.film_answer import UnitAnswer
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.film_study import FilmStudy, film_study
from filmsplit.studies.film_told import unit_answer

STRAIGHT = Path(__file__).with_name("straight.yaml")


def study_of(press: str | Path, question: FilmQuestion, *, unit: str | None = None) -> FilmStudy:
    """The study of one unit, the first unless told, without a band."""
    found = find_press(str(press)).press
    units = found.units[:1] if unit is None else (found.unit(unit),)
    return film_study(settings_of(found, units, question)[0])


def answer_of(press: str | Path, question: FilmQuestion) -> UnitAnswer:
    return unit_answer(study_of(press, question))
