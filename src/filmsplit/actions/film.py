"""Where the ink is: the films of a press, unit by unit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

from filmsplit.actions.find import find_press
from filmsplit.library.inks import Ink, inks
from filmsplit.library.limits import limits_of
from filmsplit.library.uncertainties import uncertainties_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.studies.film_answer import FilmAnswer, LimitAnswer, UnitAnswer
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
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


def ask_films(  # noqa: PLR0913  (all but two are named and have defaults)
    reference: str,
    question: FilmQuestion,
    *,
    unit: str | None = None,
    ink: str | None = None,
    ink_assumed: bool = False,
    told: Told | None = None,
) -> Filmed:
    """Where the ink is in the press meant by ``reference``: all its units, or the one called ``unit``.

    ``ink`` names the ink whose density is taken, otherwise that of the question stands; where nobody named it,
    ``ink_assumed``, that is told. Refuses with every problem.
    """
    asked = _asked(reference, question, unit=unit, ink=ink)
    press, chosen, settings = asked.press, asked.ink, asked.settings
    studies = tuple(
        film_study(each, uncertainties=uncertainties_of, progress=_of_unit(each.unit, told)) for each in settings
    )
    answer = FilmAnswer(
        press=press.id,
        invented=press.invented,
        ink="" if chosen is None else chosen.slug,
        units=tuple(_answered(study, chosen if ink_assumed else None) for study in studies),
        limits=tuple(LimitAnswer(slug=each.slug, what=each.what, so=each.so) for each in limits_of("ink")),
    )
    return Filmed(press=press, studies=studies, answer=answer)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Asked:
    """A question that can be answered: of which press, with which ink (``None``: a density), put to each unit."""

    press: Press
    ink: Ink | None
    settings: tuple[FilmSetting, ...]


def check_films(
    reference: str, question: FilmQuestion, *, unit: str | None = None, ink: str | None = None
) -> tuple[Problem, ...]:
    """What would be refused before anything is computed."""
    try:
        _asked(reference, question, unit=unit, ink=ink)
    except Refusal as refusal:
        return refusal.problems
    return ()


def _asked(reference: str, question: FilmQuestion, *, unit: str | None, ink: str | None) -> _Asked:
    """The question checked in every respect: :class:`Refusal` with all that stands in the way."""
    press = find_press(reference).press
    known = {each.slug: each for each in inks()}
    problems = list[Problem]()
    if ink is not None and ink not in known:
        problems.append(Problem("film-ink-unknown", {"asked": ink, "known": ", ".join(known)}))
    units: tuple[Unit, ...] = ()
    try:
        units = units_asked(press, unit)
    except Refusal as refusal:
        problems += refusal.problems
    chosen = known.get(ink) if ink is not None else None
    if chosen is not None:
        question = replace(question, density_g_per_cm3=chosen.density_g_per_cm3)
    try:
        settings = settings_of(press, units, question)
    except Refusal as refusal:
        problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return _Asked(press=press, ink=chosen, settings=settings)


def _of_unit(unit: Unit, told: Told | None) -> Callable[[Stage, float], None] | None:
    return None if told is None else lambda stage, part: told(unit.id, stage, part=part)


def _answered(study: FilmStudy, ink: Ink | None) -> UnitAnswer:
    """The answer about a unit; an ink that nobody named is among the assumptions."""
    answer = unit_answer(study)
    if ink is None:
        return answer
    values = {"ink": ink.slug, "density": ink.density_g_per_cm3, "source": ink.source}
    return replace(answer, notes=(*answer.notes, Problem("film-assumed-ink", values)))
