"""A solution for other keys without another solve: with a fixed share on the sheet every film goes with the keys."""

from __future__ import annotations

from dataclasses import replace

from filmsplit.simulation.answers import Answers
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State


def scaled(solution: Solution, factor: float) -> Solution:
    """The solution for all keys ``factor`` times as wide; only true where the train is linear."""
    state = solution.state
    return replace(
        solution,
        answers=None if solution.answers is None else _answers(solution.answers, factor),
        state=None if state is None else State(state.step, state.films * factor),
    )


def _answers(answers: Answers, factor: float) -> Answers:
    return replace(
        answers,
        arcs=tuple(replace(arc, film_um=arc.film_um * factor) for arc in answers.arcs),
        loops_um={id: film * factor for id, film in answers.loops_um.items()},
        plate_um=answers.plate_um * factor,
        blanket_um=answers.blanket_um * factor,
        sheet_mean_um=answers.sheet_mean_um * factor,
        sheet_um=answers.sheet_um * factor,
        fed_per_revolution_um_mm2=answers.fed_per_revolution_um_mm2 * factor,
        printed_per_revolution_um_mm2=answers.printed_per_revolution_um_mm2 * factor,
        stored_um_mm2=answers.stored_um_mm2 * factor,
    )
