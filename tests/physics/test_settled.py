"""The settled solve against marching, and its outcomes: what has not settled must never look as if it had."""

import tracemalloc
from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.messages.catalogue import message_text
from filmsplit.simulation.demand import FORMS_OFF, Demand, load
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.level import SHOWS
from filmsplit.simulation.march import march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import DuctorFeed
from filmsplit.simulation.period import common_period, cycles_of, with_common_period
from filmsplit.simulation.settle import ACCURACY, PLAIN_PERIODS, settle
from filmsplit.simulation.solution import NotSettledError, Outcome, Solution
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network
from physics.test_conservation import demo_units, random_train
from physics.trains import chain, coverage, small_press


def small(**options):
    net = small_press(**options)
    grid = grid_of(120, 40, round_mm=1.5, across_mm=2.0)
    return compile_network(net, grid), grid


def worst_on_sheet(train, demand, state, other):
    """Largest difference of two printed sheets on image cells over the mean image film, over one common period."""
    period = common_period([4.0, 3.0, 2.0, 1.0]).revolutions
    sheets = [march(train, demand, state=s, revolutions=period, watch=True) for s in (state, other)]
    image = demand.coverage > 0
    ours, theirs = (s.passing.sheet_um[image] for s in sheets)
    last = [s.sheet_um[image] for s in sheets]
    mean = theirs.mean()
    return max(np.abs(ours - theirs).max(), np.abs(last[0] - last[1]).max()) / mean


def assert_few_passes(solution: Solution) -> None:
    """At most 10 passes on either grid. A period so short that it is followed may take 10 on the grid asked for, or 40
    revolutions in all."""
    spent = solution.statistics
    if spent.common_period >= SHOWS:
        assert spent.periods + spent.coarser_periods <= 10
    else:
        assert spent.periods <= 10 or spent.revolutions <= 40


@pytest.mark.parametrize(
    ("options", "mean"),
    [
        ({"feed": "fountain"}, 0.02),
        ({"feed": "fountain"}, 0.6),
        ({"cycle_rev": 2.0}, 0.2),
        ({"cycle_rev": 3.0}, 0.05),
        ({"cycle_rev": 2.0, "swing": False}, 0.3),
    ],
)
def test_settled_equals_marched_everywhere_on_the_sheet(options, mean):
    """Marched until it repeats; within the accuracy asked for (0.1 %) on every image cell."""
    train, grid = small(**options)
    films = np.linspace(20, 40, grid.columns)
    demand = Demand(
        coverage=coverage(grid, gap=0.2, mean=mean),
        films_um={"feed": films},
        sweeps_mm={"feed": 20.0} if options.get("feed") != "fountain" else {},
    )
    solution = settle(train, demand)
    assert solution.outcome is Outcome.SETTLED
    assert_few_passes(solution)
    marched = empty(train)
    for _ in range(40):
        before, marched = marched, march(train, demand, state=marched, revolutions=60).state
        if np.abs(marched.films - before.films).max() < 1e-6 * marched.films.max():
            break
    else:
        pytest.fail("the reference march did not come to rest")
    assert worst_on_sheet(train, demand, solution.state, replace(marched, step=0)) <= ACCURACY
    assert solution.statistics.fed_less_printed <= ACCURACY


@pytest.mark.parametrize("unit", list(demo_units()))
@pytest.mark.parametrize("cover", [0.02, 1.0])
def test_demo_presses_settle(unit, cover):
    """Ten applications of the period map at most, and the print then stays what it is for another 24 revolutions."""
    network, period = with_common_period(ink_network(unit))
    grid = grid_of(network.plate_mm, width_of(unit), round_mm=6.0, across_mm=8.0)
    train = compile_network(network, grid)
    cells = coverage(grid, mean=cover, image_share=0.5) if cover < 1 else np.ones((grid.rows, grid.columns))
    cells[grid.rows - grid.cells(unit.cylinders.plate.gap_mm) :] = 0
    cells[:, :2] = cells[:, -2:] = 0  # no image at the very ends of the rollers: the sheet is narrower
    ductor = isinstance(network.feeds[0], DuctorFeed)
    demand = Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0} if ductor else {})
    solution = settle(train, demand)
    assert solution.ok
    assert solution.statistics.periods + solution.statistics.coarser_periods <= 10
    turns = period.revolutions * max(1, 24 // period.revolutions)
    later = march(train, demand, state=solution.state, revolutions=turns)
    image = cells > 0
    once = march(train, demand, state=solution.state, revolutions=period.revolutions)
    moved = np.abs(later.sheet_um - once.sheet_um)[image].max() / once.sheet_um[image].mean()
    assert moved <= ACCURACY


@pytest.mark.parametrize("seed", range(8))
def test_random_trains_settle_or_say_so(seed):
    """A success must stand up to a solve a thousand times tighter."""
    network, _ = with_common_period(random_train(seed))
    grid = grid_of(80.0, 30.0, round_mm=2.0, across_mm=1.5)
    train = compile_network(network, grid)
    demand = Demand(coverage=coverage(grid, gap=0.15, seed=seed), films_um={"feed": 12.0})
    rough, fine = settle(train, demand), settle(train, demand, accuracy=1e-6, most_periods=120)
    assert rough.ok
    assert fine.ok
    blanket = train.loops[train.loop_index("blanket")].rows
    error = np.abs(rough.state.films[blanket] - fine.state.films[blanket]).max()
    films = fine.state.films[blanket]
    assert error / films[films > 0].mean() <= ACCURACY


def test_mean_films_are_exact_without_oscillators_under_constant_coverage():
    """Each column by itself, coverage constant round the plate (algebra of the mean); marched to rest."""
    grid = grid_of(60, 4, round_mm=1.0, across_mm=1.0)
    train = compile_network(chain(3), grid)
    cover = np.tile([0.1, 0.4, 0.9, 0.0], (60, 1))
    demand = Demand(coverage=cover, films_um={"feed": np.array([10.0, 5.0, 2.0, 3.0])})
    marched = march(train, demand, state=empty(train), revolutions=3000).state
    assert MeanTrain(train, load(train, demand)).state().films == pytest.approx(marched.films, abs=1e-8)
    solution = settle(train, demand)
    # nothing to correct: one to see it, one watched, and the plain ones that a short period is followed for
    assert solution.statistics.periods <= 2 + PLAIN_PERIODS


def test_answers_name_every_arc_and_add_up():
    """Chain of three: films towards the plate (4 + (n - 1) c) t (algebra); form share 1; fed = printed."""
    grid = grid_of(60, 2, round_mm=1.0, across_mm=1.0)
    train = compile_network(chain(3), grid)
    demand = Demand(coverage=np.full((60, 2), 0.25), films_um={"feed": 10.0})
    answers = settle(train, demand, accuracy=1e-9).answers
    t = answers.sheet_mean_um
    films = {(arc.loop, arc.end): arc.film_um / t for arc in answers.arcs}
    assert films["R3", "plate"] == pytest.approx(4.0)
    assert films["R2", "R3"] == pytest.approx(4.25)
    assert films["R1", "R2"] == pytest.approx(4.5)
    assert films["plate", "blanket"] == pytest.approx(3.0)
    assert films["plate", "R3"] == pytest.approx(2.0)
    assert films["blanket", "sheet"] == pytest.approx(2.0)
    assert films["blanket", "plate"] == pytest.approx(1.0)
    assert answers.form_shares == {"R3": pytest.approx(1.0)}
    assert sum(arc.length_mm for arc in answers.arcs if arc.loop == "R2") == pytest.approx(20.0)
    assert answers.loops_um["R2"] / t == pytest.approx(
        (4.25 + 4.0) / 2
    )  # by length: half each way, the upstream film and the one on its way back
    assert answers.fed_per_revolution_um_mm2 == pytest.approx(answers.printed_per_revolution_um_mm2, rel=1e-9)
    assert answers.printed_per_revolution_um_mm2 == pytest.approx(t * 0.25 * 120)


def test_everything_is_proportional_to_the_keys_and_less_than_proportional_to_the_sweep():
    """Linear for a fixed share on the sheet (model, section 3)."""
    train, grid = small(cycle_rev=2.0)
    cover = coverage(grid, gap=0.2)

    def film(keys, sweep):
        demand = Demand(coverage=cover, films_um={"feed": keys}, sweeps_mm={"feed": sweep})
        return settle(train, demand, accuracy=1e-7, most_periods=60).answers.sheet_mean_um

    assert film(30.0, 20.0) == pytest.approx(2 * film(15.0, 20.0), rel=1e-6)
    assert 1.2 < film(30.0, 30.0) / film(30.0, 15.0) < 1.98


def test_nonlinear_transfer_settles_to_what_it_marches_to():
    train, grid = small(feed="fountain")
    law = WalkerFetsko(k=3, b=2, f=0.3, density=1.0)
    demand = Demand(coverage=coverage(grid, gap=0.2), films_um={"feed": 30.0}, transfer=law)
    solution = settle(train, demand)
    assert solution.ok
    marched = march(train, demand, state=empty(train), revolutions=1200).state
    assert worst_on_sheet(train, demand, solution.state, replace(marched, step=0)) <= ACCURACY


HARD = {
    "one period only": lambda train, demand: settle(train, demand, most_periods=1),
    "accuracy beyond rounding": lambda train, demand: settle(train, demand, accuracy=1e-17, most_periods=4),
    "too few periods": lambda train, demand: settle(train, demand, accuracy=1e-9, most_periods=3),
}


@pytest.mark.parametrize("case", HARD)
@pytest.mark.parametrize("mean", [0.02, 0.5])
def test_unconverged_never_looks_converged(case, mean):
    train, grid = small(cycle_rev=2.0)
    demand = Demand(coverage=coverage(grid, mean=mean), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    solution = HARD[case](train, demand)
    assert solution.outcome is Outcome.NOT_SETTLED
    assert not solution.ok
    with pytest.raises(NotSettledError) as caught:
        settle(train, demand, most_periods=1, throw=True)
    assert caught.value.solution.outcome is Outcome.NOT_SETTLED


def test_flux_without_a_way_out_has_no_settled_state():
    train = compile_network(chain(3, feed="flux"), grid_of(60, 2, round_mm=1.0, across_mm=1.0))
    blank = Demand(coverage=np.zeros((60, 2)), films_um={"feed": 1.0})
    solid = Demand(coverage=np.ones((60, 2)), films_um={"feed": 1.0}, running=FORMS_OFF)
    half = Demand(coverage=np.tile([1.0, 0.0], (60, 1)), films_um={"feed": 1.0})
    for demand in (blank, solid, half):
        assert settle(train, demand).outcome is Outcome.NO_SETTLED_STATE
    closed = replace(half, films_um={"feed": np.array([1.0, 0.0])})
    solution = settle(train, closed)
    assert solution.ok
    assert solution.state.films[:, 1].max() == 0  # neither fed nor taken: 0 by convention


@pytest.mark.parametrize("value", [np.nan, np.inf])
@pytest.mark.parametrize("where", ["films", "coverage", "sweep"])
def test_input_that_is_no_number_is_named_apart(value, where):
    train, grid = small()
    cover = coverage(grid)
    films, sweep = np.full(grid.columns, 30.0), 20.0
    if where == "films":
        films[3] = value
    elif where == "coverage":
        cover[2, 2] = value
    else:
        sweep = value
    solution = settle(train, Demand(coverage=cover, films_um={"feed": films}, sweeps_mm={"feed": sweep}))
    assert solution.outcome is Outcome.INPUT_NOT_FINITE
    assert solution.answers is None
    assert solution.provenance.detail == {"films": "film feed", "coverage": "coverage", "sweep": "sweep feed"}[where]


def test_every_outcome_has_a_message_that_says_what_to_try():
    """And only success is no refusal; the sentence of a real solve has all its blanks filled."""
    for outcome in Outcome:
        assert message_text(outcome.value).remedy.endswith(".")
        refused = message_text(outcome.value).severity == "refused"
        assert refused is (outcome is not Outcome.SETTLED)
    train, grid = small(cycle_rev=2.0)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    solution = settle(train, demand, most_periods=1)
    assert solution.problem.slug == "ink-not-settled"
    assert "2 turns of the plate" in solution.problem.what
    assert "0.1 %" in solution.problem.what


@pytest.mark.parametrize(
    ("cycles", "turns"),
    [
        ((), 1),
        ((2.0, 3.0), 6),
        ((2.4, 3.0), 12),
        ((1.5,), 3),
        ((0.5, 4.0), 4),
        ((3.0, 3.2), 48),
        ((2.6, 3.2), None),
        ((np.pi,), None),
    ],
)
def test_common_period(cycles, turns):
    """By hand; 2.6 and 3.2 only meet after 208 revolutions, which is longer than is waited for; pi never does."""
    period = common_period(cycles)
    assert (None if period is None else period.revolutions) == turns


def swinging(swing_rev, **options):
    """The small press with other cycles of its oscillators."""
    net = small_press(**options)
    loops = (replace(x, swing=replace(x.swing, cycle_rev=swing_rev)) if x.swing else x for x in net.loops)
    return replace(net, loops=tuple(loops))


@pytest.mark.parametrize("cycle_rev", [2.137, 3.01, 2.99, 2.0 * np.sqrt(2.0)])
def test_pulling_leaves_the_ductor_alone_and_brings_nothing_into_step(cycle_rev):
    """The ductor's cycle sets how much is fed, so only oscillators are pulled; and a ductor of 3 revolutions must
    meet an oscillator of nearly 3 at many phases, as it truly does (reasoning; the campaign measures both)."""
    net, period = with_common_period(swinging(cycle_rev, cycle_rev=3.0))
    assert net.feeds[0].cycle_rev == 3.0
    assert 0 < period.pulled < 0.12
    swing = next(loop.swing for loop in net.loops if loop.swing)
    dwells, strokes = period.revolutions / 3.0, period.revolutions / swing.cycle_rev
    assert dwells == pytest.approx(round(dwells))
    assert strokes == pytest.approx(round(strokes))
    assert round(dwells) / np.gcd(round(dwells), round(strokes)) >= 4  # phases at which they meet
    assert dict(net.true_cycles) == {loop.id: cycle_rev for loop in net.loops if loop.swing}


def test_cycles_that_do_not_divide_are_not_solved_silently():
    net = swinging(2.137)
    grid = grid_of(120, 40, round_mm=2.0, across_mm=4.0)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    with pytest.raises(ValueError, match="no common period"):
        settle(compile_network(net, grid), demand)
    pulled, period = with_common_period(net)
    solution = settle(compile_network(pulled, grid), demand)
    assert solution.ok
    assert solution.provenance.cycles_pulled == pytest.approx(period.pulled)
    assert solution.statistics.pull_error > 0
    exact = settle(compile_network(small_press(cycle_rev=2.0), grid), demand)
    assert exact.statistics.pull_error == 0


@pytest.mark.parametrize("most", [12, 20])
@pytest.mark.parametrize("name", ["dipper", "bittern"])
def test_stated_error_of_pulling_covers_a_long_march_of_the_true_train(name, most):
    """Dipper and Bittern, allowed only short periods so that their cycles have to be pulled; the true train marched
    until 1e-4 of its films is all that could still change, then averaged over whole common periods (48, 22 turns)."""
    unit = next(each for each in demo_units() if each.id.startswith(name)).values[0]
    network = ink_network(unit)
    grid = grid_of(network.plate_mm, width_of(unit), round_mm=8.0, across_mm=10.0)
    cells = coverage(grid, mean=0.3, image_share=0.6)
    cells[:, :2] = cells[:, -2:] = 0
    demand = Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0})
    pulled, period = with_common_period(network, most=most)
    assert period.pulled > 0
    solution = settle(compile_network(pulled, grid), demand, accuracy=1e-4)
    assert solution.ok
    true, turns = compile_network(network, grid), common_period(cycles_of(network)).revolutions
    state = march(true, demand, state=solution.state, revolutions=10 * turns).state
    sheet = march(true, demand, state=state, revolutions=turns, watch=True).passing.sheet_um
    image = cells > 0
    error = np.abs(solution.sheet_um - sheet)[image].max() / sheet[image].mean()
    stated = solution.statistics.pull_error + solution.statistics.error
    assert error <= stated
    assert stated <= 40 * error  # and says something: an estimate of 1 would cover everything


@pytest.mark.parametrize("seed", range(3))
def test_law_of_transfer_with_a_ductor_settles_to_what_it_marches_to(seed):
    """Nonlinear: the same outcome, error and passes are reported, and the march is the judge."""
    train, grid = small(cycle_rev=2.0)
    rng = np.random.default_rng(seed)
    law = WalkerFetsko(k=rng.uniform(0.5, 4), b=rng.uniform(0.5, 3), f=rng.uniform(0.2, 0.5), density=1.0)
    demand = Demand(
        coverage=coverage(grid, gap=0.2, mean=0.4), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0}, transfer=law
    )
    solution = settle(train, demand)
    assert solution.ok
    assert_few_passes(solution)
    state = march(train, demand, state=solution.state, revolutions=400).state
    assert worst_on_sheet(train, demand, solution.state, replace(state, step=0)) <= solution.statistics.error
    assert settle(train, demand, most_periods=1, accuracy=1e-6).outcome is Outcome.NOT_SETTLED


@pytest.mark.parametrize("cover", [0.01, 0.2, 1.0])
def test_stated_error_is_no_smaller_than_the_true_one(cover):
    """Against a solve a hundred times tighter, both grids used; the campaign does this on every demo press."""
    unit = next(iter(demo_units())).values[0]
    network, _ = with_common_period(ink_network(unit))
    grid = grid_of(network.plate_mm, width_of(unit), round_mm=5.0, across_mm=8.0)
    train = compile_network(network, grid)
    cells = coverage(grid, gap=0.1, mean=cover, image_share=0.5 if cover < 1 else 1.0)
    demand = Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0})
    ours, tight = settle(train, demand), settle(train, demand, accuracy=1e-5)
    assert ours.statistics.coarser_periods > 0
    assert ours.statistics.periods + ours.statistics.coarser_periods <= 10
    image = cells > 0
    true = np.abs(ours.sheet_um - tight.sheet_um)[image].max() / tight.sheet_um[image].mean()
    assert true <= ours.statistics.error


def test_memory_stays_within_eight_states():
    """Films of the state, everything kept from pass to pass included (issue's bound; measured by tracemalloc)."""
    unit = next(iter(demo_units())).values[0]
    network, _ = with_common_period(ink_network(unit))
    train = compile_network(network, grid_of(network.plate_mm, width_of(unit), round_mm=2.0, across_mm=3.0))
    grid = train.grid
    demand = Demand(coverage=np.ones((grid.rows, grid.columns)), films_um={INK_FEED: 30.0}, sweeps_mm={INK_FEED: 25.0})
    tracemalloc.start()
    try:
        solution = settle(train, demand, accuracy=1e-6)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert solution.statistics.periods >= 4  # or nothing had to be kept
    assert peak <= 8 * solution.state.films.nbytes
