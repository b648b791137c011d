"""What is said about plate, blanket, sheet and form rollers, against closed forms and by hand."""

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.simulation.answers import answers_of
from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, Demand, Running
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Loop
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, nip, small_press

EXACT = 1e-8


def settled(net, demand, **options):
    grid = grid_of(net.plate_mm, demand.coverage.shape[1], round_mm=1.0, across_mm=1.0)
    train = compile_network(net, grid)
    solution = settle(train, demand, accuracy=1e-10, most_periods=200, **options)
    assert solution.ok
    return solution.answers


def test_plate_and_blanket_of_a_chain():
    """Even split: plate leaving the form roller 3 t, blanket leaving the plate 2 t, at any coverage (algebra)."""
    cover = np.zeros((60, 3))
    cover[5:40, 1:] = 0.3
    answers = settled(chain(3), Demand(coverage=cover, films_um={"feed": 10.0}))
    t = answers.sheet_mean_um
    assert answers.plate_um == pytest.approx(3 * t, rel=EXACT)
    assert answers.blanket_um == pytest.approx(2 * t, rel=EXACT)
    assert answers.columns == (0, 3)


def parallel(*, turned=False):
    """Feed -> drum -> F1 -> F2, F1 first on the plate (or F2 first on the drum)."""
    places = (2.0, 10.0) if not turned else (10.0, 2.0)
    loops = (Loop(id="drum", length_mm=20.0), Loop(id="F1", length_mm=18.0), Loop(id="F2", length_mm=22.0))
    net = chain(1)
    return replace(
        net,
        loops=(*loops, *(loop for loop in net.loops if loop.id in ("plate", "blanket"))),
        nips=(
            nip(("drum", places[0]), ("F1", 0.0)),
            nip(("drum", places[1]), ("F2", 0.0)),
            nip(("F1", 9.0), ("plate", 0.0)),
            nip(("F2", 11.0), ("plate", 10.0)),
            nip(("plate", 30.0), ("blanket", 0.0)),
        ),
        feeds=tuple(replace(feed, at=replace(feed.at, loop="drum")) for feed in net.feeds),
    )


@pytest.mark.parametrize(("turned", "shares"), [(False, (3 / 4, 1 / 4)), (True, (1 / 2, 1 / 2))])
def test_shares_of_form_rollers_in_parallel(turned, shares):
    """3/4 and 1/4; with the drum meeting F2 first 1/2 each; plate brings 3 t to the blanket (algebra)."""
    answers = settled(parallel(turned=turned), Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0}))
    assert (answers.form_shares["F1"], answers.form_shares["F2"]) == pytest.approx(shares, rel=EXACT)
    assert answers.plate_um == pytest.approx(3 * answers.sheet_mean_um, rel=EXACT)


def test_there_are_no_shares_of_nothing():
    """A blank plate, or no form roller on it: none of the shares is a number; one thrown off has share 0."""
    blank = settled(parallel(), Demand(coverage=np.zeros((60, 1)), films_um={"feed": 10.0}))
    assert blank.form_shares == {"F1": None, "F2": None}
    assert (blank.plate_um, blank.blanket_um, blank.sheet_mean_um) == (0.0, 0.0, 0.0)
    for running in (FORMS_OFF, Running(thrown_off=frozenset({"F1", "F2"}))):
        demand = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0}, running=running)
        train = compile_network(parallel(), grid_of(60, 1, round_mm=1.0, across_mm=1.0))
        done = march(train, demand, state=empty(train), revolutions=20, watch=True)
        assert answers_of(train, demand, marched=done).form_shares == {"F1": None, "F2": None}
    one = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0}, running=Running(thrown_off=frozenset({"F1"})))
    assert settled(parallel(), one).form_shares == {"F1": 0.0, "F2": pytest.approx(1.0)}


def test_shares_and_means_are_of_what_is_on_the_sheet():
    """Columns do not interact here, so a sheet as wide as some columns must answer as those columns alone would."""
    cover = np.tile([0.2, 0.5, 1.0, 0.8], (60, 1))
    cover[40:] = 0
    films = np.array([4.0, 10.0, 6.0, 30.0])
    wide = Demand(coverage=cover, films_um={"feed": films}, sheet_across_mm=(1.0, 3.0))
    alone = Demand(coverage=cover[:, 1:3], films_um={"feed": films[1:3]})
    ours, theirs = settled(parallel(), wide), settled(parallel(), alone)
    assert ours.columns == (1, 3)
    for name in ("plate_um", "blanket_um", "sheet_mean_um"):
        assert getattr(ours, name) == pytest.approx(getattr(theirs, name), rel=EXACT)
    assert ours.loops_um == pytest.approx(theirs.loops_um, rel=EXACT)
    assert ours.form_shares == pytest.approx(theirs.form_shares, rel=EXACT)
    assert [arc.film_um for arc in ours.arcs] == pytest.approx([arc.film_um for arc in theirs.arcs], rel=EXACT)
    one = settled(parallel(), wide, columns=(2, 3))
    assert one.columns == (2, 3)
    assert one.sheet_mean_um == pytest.approx(one.sheet_um[:40, 2].mean(), rel=EXACT)


def test_the_mean_is_of_image_under_the_sheet():
    """A sheet shorter than the image: what lies beyond its tail takes no ink and is in no mean (by hand)."""
    net = small_press(feed="fountain")
    grid = grid_of(120, 40, round_mm=2.0, across_mm=2.0)
    train = compile_network(net, grid)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sheet_round_mm=(0, 60), sheet_across_mm=(10, 30))
    answers = settle(train, demand).answers
    weight = demand.coverage[:30, 5:15]
    by_hand = (weight * answers.sheet_um[:30, 5:15]).sum() / weight.sum()
    assert answers.sheet_mean_um == pytest.approx(by_hand, rel=1e-12)
    assert answers.sheet_um[30:].max() == 0


def test_without_a_sheet_the_plate_still_has_its_film():
    """Plate and blanket apart: the plate keeps what the form roller leaves, which at rest is the same film on both."""
    demand = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0}, running=NO_SHEET)
    train = compile_network(chain(3), grid_of(60, 1, round_mm=1.0, across_mm=1.0))
    state = march(train, demand, state=empty(train), revolutions=600).state
    done = march(train, demand, state=state, revolutions=1, watch=True)
    answers = answers_of(train, demand, marched=done)
    assert answers.plate_um == pytest.approx(10.0, rel=1e-6)
    assert (answers.blanket_um, answers.sheet_mean_um) == (0.0, 0.0)


def test_answers_need_a_watched_march():
    train = compile_network(chain(3), grid_of(60, 1, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0})
    done = march(train, demand, state=empty(train), revolutions=1)
    with pytest.raises(ValueError, match="watch"):
        answers_of(train, demand, marched=done)
