"""Where the ink is: the films of a press, unit by unit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

from filmsplit.actions.find import find_press
from filmsplit.library.inks import DEFAULT_INK, Ink, inks
from filmsplit.library.limits import limits_of
from filmsplit.library.uncertainties import uncertainties_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.studies.film_answer import FilmAnswer, LimitAnswer, UnitAnswer
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.film_study import FilmStudy, Stage, film_study
from filmsplit.studies.film_told import unit_answer

KIND = "film 1"
"""What the answer calls itself as JSON."""


class Told(Protocol):
    """Told the unit, what is being done, and the part of it that is done (0..1)."""

    def __call__(self, unit: str, stage: Stage, *, part: float) -> None: ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Filmed:
    """The answer, the press, and the studies behind it: unit by unit, in the order of ``answer.units``."""

    press: Press
    studies: tuple[FilmStudy, ...]
    answer: FilmAnswer

    @property
    def settled(self) -> bool:
        """Whether every unit's films may be relied on."""
        return all(study.ok for study in self.studies)


def ask_films(
    reference: str,
    question: FilmQuestion,
    *,
    unit: str | None = None,
    ink: str | None = None,
    told: Told | None = None,
) -> Filmed:
    """Where the ink is in the press meant by ``reference``: all its units, or the one called ``unit``.

    ``ink`` names the ink whose density is taken, otherwise that of the question stands. Refuses with every problem.
    """
    press = find_press(reference).press
    chosen = None if ink is None else _ink(ink)
    settings = settings_of(press, _units(press, unit), _with_ink(question, chosen))
    studies = tuple(
        film_study(each, uncertainties=uncertainties_of, progress=_of_unit(each.unit, told)) for each in settings
    )
    answer = FilmAnswer(
        press=press.id,
        invented=press.invented,
        ink="" if chosen is None else chosen.slug,
        units=tuple(_answered(study, chosen) for study in studies),
        limits=tuple(LimitAnswer(slug=each.slug, what=each.what, so=each.so) for each in limits_of("ink")),
    )
    return Filmed(press=press, studies=studies, answer=answer)


def check_films(
    reference: str, question: FilmQuestion, *, unit: str | None = None, ink: str | None = None
) -> tuple[Problem, ...]:
    """What would be refused before anything is computed."""
    try:
        press = find_press(reference).press
        settings_of(press, _units(press, unit), _with_ink(question, None if ink is None else _ink(ink)))
    except Refusal as refusal:
        return refusal.problems
    return ()


def _with_ink(question: FilmQuestion, ink: Ink | None) -> FilmQuestion:
    return question if ink is None else replace(question, density_g_per_cm3=ink.density_g_per_cm3)


def _of_unit(unit: Unit, told: Told | None) -> Callable[[Stage, float], None] | None:
    return None if told is None else lambda stage, part: told(unit.id, stage, part=part)


def _ink(slug: str) -> Ink:
    found = {each.slug: each for each in inks()}
    if slug not in found:
        raise Refusal(Problem("film-ink-unknown", {"asked": slug, "known": ", ".join(found)}))
    return found[slug]


def _units(press: Press, unit: str | None) -> tuple[Unit, ...]:
    if unit is None:
        return press.units
    if unit not in {each.id for each in press.units}:
        known = ", ".join(each.id for each in press.units)
        raise Refusal(Problem("marks-no-unit", {"press": press.id, "unit": unit, "known": known}))
    return (press.unit(unit),)


def _answered(study: FilmStudy, ink: Ink | None) -> UnitAnswer:
    """The answer about a unit; the ink that nobody named is among the assumptions."""
    answer = unit_answer(study)
    if ink is None or ink.slug != DEFAULT_INK:
        return answer
    values = {"ink": ink.slug, "density": ink.density_g_per_cm3, "source": ink.source}
    return replace(answer, notes=(*answer.notes, Problem("film-assumed-ink", values)))
