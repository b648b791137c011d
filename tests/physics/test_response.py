"""How the sheet follows a change: closed forms of the transient, and steps between settled prints."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.response import ENOUGH, Ended, start_up, step
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, small_press


def chain_start(cover, *, feed, ratio=1.0, count=3, **options):
    train = compile_network(chain(count, feed=feed, ratio=ratio), grid_of(60, 1, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.full((30, 1), cover), films_um={"feed": cover if feed == "flux" else 10.0})
    solution = settle(train, demand, accuracy=1e-9)
    return start_up(train, demand, solution=solution, **options), solution, train


@pytest.mark.parametrize("cover", [1.0, 0.3, 0.05])
def test_flux_fed_the_missing_print_is_the_ink_stored(cover):
    """Sum over sheets of (1 - film/settled film) = ink stored / ink printed per sheet, exactly, at any coverage
    (conservation of ink: what was fed and not printed is on the rollers). Followed until 1e-10 is left."""
    response, solution, _ = chain_start(cover, feed="flux", enough=1 - 1e-10, most_sheets=10000)
    assert response.ended is Ended.ENOUGH
    stored = solution.answers.stored_um_mm2 / solution.answers.printed_per_revolution_um_mm2
    assert (1 - response.sheets_um / response.settled_um).sum() == pytest.approx(stored, rel=1e-6)


def test_light_forms_answer_slowly():
    """Flux-fed, 1.25 % against 5 %: four times the sheets to 63 %, within 5 %; film-fed at equal speeds as many,
    within 15 % (algebra and march; see the check of response and coverage)."""
    flux = [chain_start(cover, feed="flux")[0].sheets_63 for cover in (0.0125, 0.05)]
    assert flux[0] / flux[1] == pytest.approx(4.0, rel=0.05)
    film = [chain_start(cover, feed="fountain", count=6)[0].sheets_63 for cover in (0.0125, 0.05)]
    assert film[0] / film[1] == pytest.approx(1.0, abs=0.15)


def test_slowest_factor_of_a_film_fed_chain():
    """Five nips (the feed's among them), equal half-loops: what is missing shrinks to cos^2(pi/6) = 0.75 per full turn
    (algebra). Plate and blanket are as long as a roller here, so that a turn of one is a turn of all."""
    net = chain(2, plate_mm=20.0)
    train = compile_network(net, grid_of(20, 1, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((10, 1)), films_um={"feed": 10.0})
    solution = settle(train, demand, accuracy=1e-12)
    response = start_up(train, demand, solution=solution, enough=1 - 1e-6)
    missing = 1 - response.sheets_um / response.settled_um
    assert missing[-1] / missing[-2] == pytest.approx(0.75, rel=1e-4)
    assert response.change_made[-1] >= 1 - 1e-6


def press(**options):
    train = compile_network(small_press(**options), grid_of(120, 40, round_mm=2.0, across_mm=2.0))
    demand = Demand(coverage=coverage(train.grid, gap=0.2), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    return train, demand, settle(train, demand, accuracy=1e-8, most_periods=200)


def test_start_up_is_the_march_and_its_averages():
    """Against marching and averaging by hand."""
    train, demand, solution = press()
    response = start_up(train, demand, solution=solution)
    turns = response.sheets_um.size
    by_march = march(train, demand, state=empty(train), revolutions=turns).sheet_means_um
    assert response.sheets_um == pytest.approx(by_march, rel=1e-12)
    by_hand = [(a + b) / 2 for a, b in pairwise([0.0, *by_march])]
    assert response.common_period == 2
    assert response.averaged_um == pytest.approx(by_hand, rel=1e-9)
    made = np.array(by_hand) / solution.answers.sheet_mean_um
    assert response.sheets_63 == next(n for n, part in enumerate(made, start=1) if part >= 0.63)
    assert response.sheets_95 == next(n for n, part in enumerate(made, start=1) if part >= 0.95)
    assert response.sheets_63 < response.sheets_95 <= turns
    assert ENOUGH <= response.change_made[-1] <= 1


def test_a_step_of_all_keys_goes_like_start_up():
    """Linear for a fixed share on the sheet: the same course at the same phase, up as well as down, at any size."""
    train, demand, solution = press()
    first = start_up(train, demand, solution=solution)
    for film in (45.0, 12.0):
        changed = replace(demand, films_um={"feed": film})
        after = settle(train, changed, accuracy=1e-8, most_periods=200)
        response = step(train, changed, before=solution, solution=after)
        assert (response.sheets_63, response.sheets_95) == (first.sheets_63, first.sheets_95)
        # the sheet before the first counts as the mean before the step, not as what its own phase printed
        assert response.change_made[1:] == pytest.approx(first.change_made[1:], abs=1e-6)
    averaged = first.averaged_um[1::2]
    assert np.all(np.diff(averaged) > 0)  # monotone at the same phase (model of the settled state)


def test_steps_of_sweep_and_coverage_go_to_their_settled_prints():
    """Sweep: to the new settled mean. A new plate starts with no ink on it and passes through less."""
    train, demand, solution = press()
    sweep = replace(demand, sweeps_mm={"feed": 30.0})
    after = settle(train, sweep, accuracy=1e-8, most_periods=200)
    response = step(train, sweep, before=solution, solution=after)
    assert response.ended is Ended.ENOUGH
    assert response.from_film_um == solution.answers.sheet_mean_um < response.settled_um
    assert response.averaged_um[-1] == pytest.approx(response.settled_um, rel=5e-3)
    light = replace(demand, coverage=coverage(train.grid, gap=0.2, mean=0.1, seed=3))
    after = settle(train, light, accuracy=1e-8, most_periods=200)
    response = step(train, light, before=solution, solution=after, new_plate=True)
    assert response.sheets_um[0] < min(response.from_film_um, response.settled_um)
    assert response.sheets_95 is not None
    assert response.averaged_um[-1] == pytest.approx(response.settled_um, rel=2e-2)


def test_too_few_sheets_are_reported_and_not_extrapolated():
    train, demand, solution = press()
    told = []
    response = start_up(
        train, demand, solution=solution, most_sheets=33, progress=lambda sheets, made: told.append((sheets, made))
    )
    assert response.sheets_um.size == 33
    assert response.ended is Ended.MOST_SHEETS
    assert response.sheets_63 is not None
    assert response.sheets_95 is None
    assert told[-1] == (33, response.change_made[-1])


def test_no_change_is_no_response():
    train, demand, solution = press()
    response = step(train, demand, before=solution, solution=solution)
    assert response.ended is Ended.NO_CHANGE
    assert (response.sheets_63, response.sheets_95, response.sheets_um.size) == (None, None, 0)


def test_there_is_no_way_to_a_print_that_did_not_settle():
    train, demand, _ = press()
    rough = settle(train, demand, most_periods=1)
    with pytest.raises(ValueError, match="not settled"):
        start_up(train, demand, solution=rough)
