"""The ink budget in grams closes in every mode and over runs that change while they go. No ink is made or lost."""

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, PRINTING, Demand, Running
from filmsplit.simulation.grams import budget_of, grams
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.press_run import Leg, run, without_feed
from filmsplit.simulation.state import empty, stored_um_mm2
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, small_press

ROUNDING = 1e-11
"""Rounding of some 1e6 additions in double precision, as part of the ink that passed (stated accuracy)."""
DENSITY = 1.05
"""g/cm3; any number does."""

MODES = {
    "print": PRINTING,
    "no sheet": NO_SHEET,
    "forms off": FORMS_OFF,
    "one form thrown off": Running(thrown_off=frozenset({"F1"})),
}


def press(feed="ductor"):
    train = compile_network(small_press(feed=feed), grid_of(120, 40, round_mm=2.0, across_mm=2.0))
    sweeps = {"feed": 20.0} if feed == "ductor" else {}
    return train, Demand(coverage=coverage(train.grid, gap=0.2), films_um={"feed": 30.0}, sweeps_mm=sweeps)


def closes(budget):
    passed = abs(budget.fed_g) + budget.printed_g + budget.stored_before_g + budget.stored_after_g + budget.washed_g
    return abs(budget.gap_g) <= ROUNDING * passed


def test_a_gram_is_a_gram():
    """1 um on 1 m2 of an ink of 1.05 g/cm3 is 1.05 g (arithmetic)."""
    assert grams(1.0 * 1e6, density_g_per_cm3=1.05) == pytest.approx(1.05, rel=1e-15)


def test_a_sheet_of_known_film_weighs_what_it_should():
    """Solid chain settled from the feed: 60 mm x 2 mm of image at q = 10/7 um and 1.05 g/cm3 (algebra, arithmetic)."""
    train = compile_network(chain(3), grid_of(60, 2, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((60, 2)), films_um={"feed": 10.0})
    state = march(train, demand, state=empty(train), revolutions=900).state
    budget = budget_of(march(train, demand, state=state, revolutions=5), density_g_per_cm3=DENSITY)
    assert budget.printed_per_sheet_g == pytest.approx(10 / 7 * 120 * 1e-6 * 1.05, rel=1e-9)
    assert budget.fed_per_sheet_g == pytest.approx(budget.printed_per_sheet_g, rel=1e-9)
    assert budget.sheets == 5
    films = state.films.sum() * train.grid.cell_mm2 * 1e-6 * 1.05
    assert budget.stored_after_g == pytest.approx(films, rel=1e-9)


@pytest.mark.parametrize("feed", ["ductor", "fountain"])
@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("feeding", [True, False])
def test_budget_in_grams_closes_in_every_mode(mode, feed, feeding):
    """From a train in print; with the feed stopped nothing comes in and nothing goes back."""
    train, demand = press(feed)
    begun = march(train, demand, state=empty(train), revolutions=20).state
    leg = Leg(demand=replace(demand, running=MODES[mode]), revolutions=30, feeding=feeding)
    done = run(train, [leg], state=begun)
    budget = done.budget(density_g_per_cm3=DENSITY)
    assert closes(budget)
    assert budget.sheets == done.sheet_means_um.size == 30
    assert (budget.printed_g > 0) is MODES[mode].sheets
    if not feeding:
        assert budget.fed_g == 0.0
        assert budget.stored_after_g <= budget.stored_before_g * (1 + ROUNDING)
    else:
        assert budget.fed_g > 0


def test_budget_closes_over_legs_with_keys_sweep_and_plates_changed():
    """Every leg by itself and all together; what is washed off plate and blanket is counted apart."""
    train, first = press()
    keys = replace(first, films_um={"feed": np.linspace(10, 50, 20)})
    sweep = replace(keys, sweeps_mm={"feed": 35.0})
    plate = replace(sweep, coverage=coverage(train.grid, gap=0.2, seed=5))
    legs = [Leg(demand=each, revolutions=15) for each in (first, keys, sweep, plate)]
    legs += [Leg(demand=plate, revolutions=20, feeding=False), Leg(demand=plate, revolutions=5, wash=True)]
    done = run(train, legs, state=empty(train))
    assert closes(done.budget(density_g_per_cm3=DENSITY))
    for leg in done.legs:
        assert closes(budget_of(leg, density_g_per_cm3=DENSITY))
    washed = np.array(done.washed_um_mm2)
    assert np.array_equal(washed > 0, [False, False, False, True, False, True])
    assert done.budget(density_g_per_cm3=1.0).washed_g == pytest.approx(washed.sum() * 1e-6)
    means = done.sheet_means_um
    assert means.size == 85
    assert means[29] != means[14]
    assert means[44] > means[29]  # a longer sweep
    assert means[45] < means[44]  # a clean plate first
    assert means[76:80].sum() < 0.9 * means[60:64].sum()  # without feed the print fades, period by period


def test_legs_are_one_march_where_nothing_changes():
    """To the bit: a run is nothing but marching."""
    train, demand = press()
    done = run(train, [Leg(demand=demand, revolutions=n) for n in (3, 1, 6)], state=empty(train))
    whole = march(train, demand, state=empty(train), revolutions=10)
    assert np.array_equal(done.state.films, whole.state.films)
    assert np.array_equal(done.sheet_means_um, whole.sheet_means_um)
    assert done.state.step == whole.state.step


def test_a_new_plate_starts_clean_and_rollers_keep_their_ink():
    train, demand = press("fountain")
    begun = march(train, demand, state=empty(train), revolutions=9).state
    other = replace(demand, coverage=coverage(train.grid, gap=0.2, seed=7))
    done = run(train, [Leg(demand=demand, revolutions=1), Leg(demand=other, revolutions=1)], state=begun)
    kept = stored_um_mm2(train, done.legs[0].state, demand.coverage) - done.washed_um_mm2[1]
    assert done.legs[1].stored_before_um_mm2 == pytest.approx(kept, rel=1e-12)
    rollers = sum(float(done.legs[0].state.films[loop.rows].sum()) for loop in train.loops[:-2])
    assert kept == pytest.approx(rollers * train.grid.cell_mm2, rel=1e-12)


def test_a_run_needs_a_leg():
    train, _ = press()
    with pytest.raises(ValueError, match="leg"):
        run(train, [], state=empty(train))


def test_parting_the_feed_leaves_the_train_as_it_was():
    train, _ = press()
    assert [feed.end - feed.first for feed in without_feed(train).feeds] == [0]
    assert train.feeds[0].end > train.feeds[0].first
