"""The films that `film` settles are those a clean train comes to when it is marched: every demo press and unit."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.actions.find import find_press
from filmsplit.library.workshop import demo_presses
from filmsplit.simulation.answers import answers_of
from filmsplit.simulation.demand import taking
from filmsplit.simulation.march import march
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.state import empty
from filmsplit.studies.film_question import FilmQuestion, Mode
from filmsplit.studies.film_study import FilmStudy
from studies.asked import study_of

UNITS = [(name, unit.id) for name in demo_presses() for unit in find_press(name).press.units]
REVOLUTIONS = 2400
"""The slowest has made 95 % of its way, all but e to the -3, at about 300 sheets: after eight times that all of it."""
COARSE = {"round_mm": 14.0, "across_mm": 14.0}
WITHIN = 1e-3
"""The accuracy asked for: 0.1 %."""


@pytest.fixture(scope="module", params=UNITS, ids="-".join)
def study(request: pytest.FixtureRequest) -> FilmStudy:
    press, unit = request.param
    return study_of(press, FilmQuestion(coverage=0.2, **COARSE), unit=unit)  # type: ignore[arg-type]


def test_settled_is_what_marching_comes_to(study: FilmStudy) -> None:
    assert study.ok
    settled = study.solution.answers
    assert settled is not None
    period = study.solution.statistics.common_period
    turns = REVOLUTIONS // period * period
    before = march(study.train, study.demand, state=empty(study.train), revolutions=turns)
    last = march(study.train, study.demand, state=before.state, revolutions=period, watch=True)
    marched = answers_of(study.train, study.demand, marched=last)
    image = taking(study.train, study.demand) * study.demand.coverage > 0
    assert np.abs(settled.sheet_um - marched.sheet_um)[image].max() <= WITHIN * marched.sheet_mean_um
    for loop, film in marched.loops_um.items():
        assert settled.loops_um[loop] == pytest.approx(film, rel=WITHIN), loop
    for ours, theirs in zip(settled.arcs, marched.arcs, strict=True):
        assert ours.film_um == pytest.approx(theirs.film_um, rel=WITHIN, abs=1e-4), (ours.loop, ours.start, ours.end)
    assert settled.stored_um_mm2 == pytest.approx(marched.stored_um_mm2, rel=WITHIN)
    # Fed less printed less the change of what is stored, each summed by itself.
    assert abs(before.budget_gap_um_mm2) <= 1e-11 * before.fed_um_mm2


def test_sheets_to_start_up_are_those_counted_on_the_march(study: FilmStudy) -> None:
    """Mean over the last common period, sheets before the first counting as empty; counted here anew."""
    found = study.response
    assert found is not None
    period = study.solution.statistics.common_period
    done = march(study.train, study.demand, state=empty(study.train), revolutions=500)
    image = float((taking(study.train, study.demand) * study.demand.coverage).sum())
    means = np.concatenate([np.zeros(period), done.printed.sum(axis=1) / image])
    smooth = np.array([means[i + 1 : i + 1 + period].mean() for i in range(500)])
    for part, sheet in ((0.63, found.sheets_63), (0.95, found.sheets_95)):
        assert sheet == int(np.argmax(smooth >= part * 1.0)) + 1


def test_a_form_roller_thrown_off_keeps_its_ink_and_gives_none() -> None:
    study = study_of("heron", FilmQuestion(coverage=0.2, thrown_off=frozenset({"F1"}), **COARSE))  # type: ignore[arg-type]
    answers = study.solution.answers
    assert answers is not None
    assert answers.form_shares["F1"] == 0
    assert answers.form_shares["F2"] == pytest.approx(1.0)
    # It meets only the lower drum: what it takes there it brings back unchanged, so both ways carry one film.
    ways = [arc.film_um for arc in answers.arcs if arc.loop == "F1"]
    assert ways[0] == pytest.approx(ways[1], rel=0.02)
    assert min(ways) > 1.0


@pytest.mark.parametrize("mode", [Mode.NO_SHEET, Mode.FORMS_OFF])
def test_without_sheets_every_roller_comes_to_the_film_of_the_keys(mode: Mode) -> None:
    """Nothing takes ink off, so what the ductor brings it takes back: (g + d)/2 = d only where d = g (feed law)."""
    study = study_of("heron", FilmQuestion(coverage=0.2, mode=mode, key_films_um=10.0, **COARSE))  # type: ignore[arg-type]
    answers = study.solution.answers
    assert study.ok
    assert answers is not None
    rollers = [loop.id for loop in study.train.loops if loop.role is LoopRole.ROLLER]
    for roller in rollers:
        assert answers.loops_um[roller] == pytest.approx(10.0, rel=WITHIN)
    assert not study.prints
    assert study.band is None


def test_the_keys_of_a_mode_without_sheets_are_those_that_print_the_aim() -> None:
    printing = study_of("heron", FilmQuestion(coverage=0.2, **COARSE))  # type: ignore[arg-type]
    idling = study_of("heron", FilmQuestion(coverage=0.2, mode=Mode.NO_SHEET, **COARSE))  # type: ignore[arg-type]
    assert idling.keyed.films_um == pytest.approx(printing.keyed.films_um)
    assert idling.keyed.solves == 2
