"""Settled films on the train when the standard tint is printed: what is on each roller, and what each form gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.simulation.answers import ArcFilm
from filmsplit.simulation.from_press import ink_network, width_of
from filmsplit.simulation.network import DuctorFeed
from filmsplit.studies.film_checks import reach_of
from filmsplit.studies.film_setting import middling_sweep_mm
from filmsplit.studies.standard_job import COARSE, STANDARD_JOB, Cells, Subject, settled_tint


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenFilms:
    """Films by arc and by member when the image on the sheet carries the standard film; shares of 1 by form roller.

    Nothing but ``problems`` where the train cannot be computed or did not settle.
    """

    arcs: tuple[ArcFilm, ...] = ()
    loops_um: Mapping[str, float]
    form_shares: Mapping[str, float]
    problems: tuple[Problem, ...] = ()


def subject_of(press: Press, unit: Unit, *, cells: Cells = COARSE) -> Subject:
    """The unit as the standard jobs see it; :class:`Refusal` where its ink train cannot be computed."""
    network = ink_network(unit)
    ducted = any(isinstance(feed, DuctorFeed) for feed in network.feeds)
    return Subject(
        network=network,
        width_mm=width_of(unit),
        sheet_mm=reach_of(press, unit),
        sweep_mm=middling_sweep_mm(unit) if ducted else None,
        cells=cells,
    )


def even_films(press: Press, unit: Unit) -> EvenFilms:
    """The films of one unit. The train is linear in its keys, so films are scaled to the standard film on the sheet."""
    try:
        subject = subject_of(press, unit)
    except Refusal as refusal:
        return EvenFilms(loops_um={}, form_shares={}, problems=tuple(refusal.problems))
    solution = settled_tint(subject, STANDARD_JOB.tint)[2]
    answers = solution.answers
    if not solution.ok or answers is None or answers.sheet_mean_um <= 0:
        return EvenFilms(loops_um={}, form_shares={}, problems=(solution.problem,))
    scale = STANDARD_JOB.film_um / answers.sheet_mean_um
    return EvenFilms(
        arcs=tuple(replace(each, film_um=scale * each.film_um) for each in answers.arcs),
        loops_um={member: scale * film for member, film in answers.loops_um.items()},
        form_shares={form: share for form, share in answers.form_shares.items() if share is not None},
    )
