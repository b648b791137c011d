"""Derivatives of the settled print: closed forms first, then settled solves a little way apart."""

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.network import Loop
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved, parameters_of, value_of
from filmsplit.simulation.sensitivity import derivatives, reach
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, nip, small_press

KIND = ParameterKind
CLOSED = 1e-6
"""Differences over 1e-4 of a share leave curvature and rounding below 1e-7; the rest is the solve, asked for 1e-8."""
BRUTE = 1e-3
"""Against settled solves a step apart: their difference is good to a few 1e-4 (stated accuracy over step)."""


def solved(net, demand, *, grid, accuracy=1e-9):
    train = compile_network(net, grid)
    solution = settle(train, demand, accuracy=accuracy, most_periods=200)
    assert solution.ok
    return train, solution


def solid_chain(count=3, *, share=0.5, cover=1.0, film=10.0):
    grid = grid_of(60, 2, round_mm=1.0, across_mm=1.0)
    demand = Demand(coverage=np.full((60, 2), cover), films_um={"feed": film}, transfer=FixedShare(tau=share))
    train, solution = solved(chain(count, share=share), demand, grid=grid)
    return train, demand, solution


def slope(train, demand, solution, parameter, *, accuracy=1e-8):
    found = derivatives(train, demand, solution, parameters=[parameter], accuracy=accuracy)[0]
    assert found.settled
    return found


def chain_print(share, *, film=10.0, nips=5):
    """Sheet film of a solid film-fed chain (the feed's own split stays even): T_n = q (1 - r^n)/(2 share - 1), check 2.

    The top roller brings u = (1 - share) T_n + q to the top nip and takes (1 - share) T_n back; the feed leaves
    (film + (1 - share) T_n)/2 = u, so film = (1 - share) T_n + 2 q. The sum of powers is the same at share 1/2.
    """
    r = (1 - share) / share
    total = sum(r**k for k in range(nips)) / share
    return film / ((1 - share) * total + 2)


@pytest.mark.parametrize("share", [0.4, 0.5, 0.6])
def test_share_of_every_nip_and_the_sheet(share):
    """All shares of the chain together: the derivative of the closed form, taken with a complex step."""
    train, demand, solution = solid_chain(share=share)
    assert solution.answers.sheet_mean_um == pytest.approx(chain_print(share), rel=1e-8)
    every = slope(train, demand, solution, Parameter(kind=KIND.SPLIT))
    sheet = slope(train, demand, solution, Parameter(kind=KIND.TRANSFER))
    exact = chain_print(share + 1e-30j).imag / 1e-30
    assert every.sheet_um_per_unit + sheet.sheet_um_per_unit == pytest.approx(exact, rel=CLOSED)
    assert (every.at, sheet.at) == (pytest.approx(share), pytest.approx(share))


def test_splits_of_single_nips_add_up_to_that_of_all():
    """Chain rule."""
    train, demand, solution = solid_chain(share=0.45)
    singles = [each for each in parameters_of(train) if each.kind is KIND.SPLIT]
    assert [each.name for each in singles] == ["R1/R2", "R2/R3", "R3/plate", "plate/blanket"]
    parts = derivatives(train, demand, solution, parameters=singles, accuracy=1e-8)
    every = slope(train, demand, solution, Parameter(kind=KIND.SPLIT))
    assert sum(part.sheet_um_per_unit for part in parts) == pytest.approx(every.sheet_um_per_unit, rel=CLOSED)


@pytest.mark.parametrize("contact", [1.0, 0.6])
def test_contact_share_of_a_nip(contact):
    """Even split, solid: a nip moves e (a - b)/2 = q, so films above it are higher by 2 q (1/e - 1), and
    film = q (7 + 2 (1/e - 1)) (algebra)."""
    net = chain(3)
    net = replace(net, nips=(net.nips[0], replace(net.nips[1], contact=contact), *net.nips[2:]))
    demand = Demand(coverage=np.ones((60, 2)), films_um={"feed": 10.0})
    train, solution = solved(net, demand, grid=grid_of(60, 2, round_mm=1.0, across_mm=1.0))
    whole = 7 + 2 * (1 / contact - 1)
    assert solution.answers.sheet_mean_um == pytest.approx(10 / whole, rel=1e-8)
    found = slope(train, demand, solution, Parameter(kind=KIND.CONTACT, name="R2/R3"))
    assert found.sheet_um_per_unit == pytest.approx(10 / whole**2 * 2 / contact**2, rel=CLOSED)


def test_a_riders_split_and_contact_change_nothing():
    """A rider changes no film where coverage is even round the plate (model of the rider); so no derivative either."""
    net = chain(3)
    net = replace(
        net,
        loops=(Loop(id="rider", length_mm=13.0), *net.loops),
        nips=(*net.nips, nip(("R2", 4.0), ("rider", 0.0))),
    )
    demand = Demand(coverage=np.full((60, 2), 0.4), films_um={"feed": 10.0})
    train, solution = solved(net, demand, grid=grid_of(60, 2, round_mm=1.0, across_mm=1.0))
    asked = [Parameter(kind=kind, name="R2/rider") for kind in (KIND.SPLIT, KIND.CONTACT)]
    for found in derivatives(train, demand, solution, parameters=asked, accuracy=1e-8):
        assert abs(found.sheet_um_per_unit) <= 1e-7 * solution.answers.sheet_mean_um


def press(**options):
    net = small_press(**options)
    grid = grid_of(120, 40, round_mm=2.0, across_mm=2.0)
    sweeps = {"feed": 20.0} if options.get("feed", "ductor") == "ductor" else {}
    demand = Demand(
        coverage=coverage(grid, gap=0.2), films_um={"feed": np.linspace(20, 40, grid.columns)}, sweeps_mm=sweeps
    )
    train, solution = solved(net, demand, grid=grid)
    return train, demand, solution


def test_all_keys_together_give_film_over_keys():
    """The print is linear in the keys (fixed share on the sheet): d film / d ln keys = film, everywhere."""
    train, demand, solution = press()
    level = replace(demand, films_um={"feed": 30.0})
    solution = settle(train, level, accuracy=1e-9, most_periods=200)
    found = slope(train, level, solution, Parameter(kind=KIND.KEY_FILM))
    assert found.sheet_um_per_unit == pytest.approx(solution.answers.sheet_mean_um / 30.0, rel=1e-7)
    columns = (level.coverage * solution.answers.sheet_um).sum(axis=0) / np.maximum(level.coverage.sum(axis=0), 1e-9)
    assert found.by_column == pytest.approx(columns / 30.0, rel=1e-5, abs=1e-9)


def test_keys_of_zones_add_up_to_the_whole():
    """Superposition: film = sum over zones of derivative x key film, for keys that differ."""
    train, demand, solution = press()
    zones = [Parameter(kind=KIND.KEY_FILM, columns=(i, i + 5)) for i in range(0, 20, 5)]
    found = derivatives(train, demand, solution, parameters=zones, accuracy=1e-7)
    films = demand.films_um["feed"]
    whole = sum(
        np.mean(films[slice(*each.parameter.columns)]) * each.sheet_um_per_unit for each in found
    )  # keys differ within a zone, so only nearly
    assert whole == pytest.approx(solution.answers.sheet_mean_um, rel=5e-3)
    level = replace(demand, films_um={"feed": np.repeat([10.0, 40.0, 25.0, 0.0], 5)})
    solution = settle(train, level, accuracy=1e-9, most_periods=200)
    found = derivatives(train, level, solution, parameters=zones, accuracy=1e-8)
    assert [each.at for each in found] == [10.0, 40.0, 25.0, 0.0]
    whole = sum(each.at * each.sheet_um_per_unit for each in found)
    assert whole == pytest.approx(solution.answers.sheet_mean_um, rel=1e-6)


ASKED = [
    (Parameter(kind=KIND.SPLIT, name="X/T2"), 2e-3),
    (Parameter(kind=KIND.SPLIT, name="F2/plate"), 2e-3),
    (Parameter(kind=KIND.SPLIT), 1e-3),
    (Parameter(kind=KIND.CONTACT, name="T1/X"), 2e-3),
    (Parameter(kind=KIND.CONTACT, name="T1/R"), 2e-3),
    (Parameter(kind=KIND.TRANSFER), 2e-3),
    (Parameter(kind=KIND.KEY_FILM, columns=(4, 9)), 5.0),
    (Parameter(kind=KIND.STROKE, name="T1"), 0.1),
]


@pytest.mark.parametrize(("parameter", "step"), ASKED, ids=lambda value: getattr(value, "kind", KIND.SPLIT).value)
def test_derivatives_against_settled_solves_a_step_apart(parameter, step):
    """Two ways to the same number."""
    train, demand, solution = press()
    brute = secant(train, demand, solution, parameter, step=step)
    found = slope(train, demand, solution, parameter, accuracy=1e-7)
    scale = max(abs(brute), 1e-3 * solution.answers.sheet_mean_um)
    assert found.sheet_um_per_unit == pytest.approx(brute, abs=BRUTE * scale)


def secant(train, demand, solution, parameter, *, step):
    films = []
    for by in (-step, step):
        other = moved(Asked(train=train, demand=demand), parameter, by=by)
        found = settle(other.train, other.demand, accuracy=1e-9, most_periods=200, start=solution.state)
        assert found.ok
        films.append(found.answers.sheet_mean_um)
    return (films[1] - films[0]) / (2 * step)


@pytest.mark.parametrize("kind", [KIND.SWEEP, KIND.DWELL])
def test_slopes_over_sweep_and_dwell_are_secants(kind):
    """On this train (17 cells round the ductor) the print jumps by up to 5 % from cell to cell of the ductor's stand,
    so the slope is taken over 4 cells to either side; over 6 it is the same within 12 % (measured 2 and 10 %)."""
    train, demand, solution = press()
    parameter = Parameter(kind=kind)
    assert reach(Asked(train=train, demand=demand), parameter) == (-8.0, 8.0)
    found = slope(train, demand, solution, parameter, accuracy=1e-5)
    wider = secant(train, demand, solution, parameter, step=12.0)
    assert found.sheet_um_per_unit == pytest.approx(wider, rel=0.12)
    share = found.sheet_um_per_unit * found.at / solution.answers.sheet_mean_um
    assert 0 < share < 1  # more of it gives more ink, but less than in proportion (model of the ductor)


def test_a_law_that_is_not_linear_is_differentiated_by_solving_again():
    """Walker & Fetsko on the sheet; against wider solves done here. Its fixed share is no parameter, and says so."""
    train, demand, _ = press(feed="fountain")
    curved = replace(demand, films_um={"feed": 30.0}, transfer=WalkerFetsko(k=3, b=2, f=0.3))
    solution = settle(train, curved, accuracy=1e-6, most_periods=100)
    asked = [Parameter(kind=KIND.KEY_FILM), Parameter(kind=KIND.SPLIT, name="X/T2")]
    found = derivatives(train, curved, solution, parameters=asked)
    for each, step in zip(found, (1.0, 5e-3), strict=True):
        assert each.settled
        pair = [moved(Asked(train=train, demand=curved), each.parameter, by=by) for by in (-step, step)]
        films = [settle(p.train, p.demand, accuracy=1e-7, most_periods=100).answers.sheet_mean_um for p in pair]
        assert each.sheet_um_per_unit == pytest.approx((films[1] - films[0]) / (2 * step), rel=5e-3)
    with pytest.raises(ValueError, match="fixed share"):
        derivatives(train, curved, solution, parameters=[Parameter(kind=KIND.TRANSFER)])


def test_what_did_not_settle_has_no_derivative_and_what_is_not_there_no_parameter():
    train, demand, solution = press()
    rough = settle(train, demand, most_periods=1)
    with pytest.raises(ValueError, match="ink-not-settled"):
        derivatives(train, demand, rough, parameters=[Parameter(kind=KIND.TRANSFER)])
    asked = Asked(train=train, demand=demand)
    for wrong in (
        Parameter(kind=KIND.SPLIT, name="R9/R8"),
        Parameter(kind=KIND.STROKE, name="R"),
        Parameter(kind=KIND.KEY_FILM, name="water"),
        Parameter(kind=KIND.TRANSFER, name="sheet"),
    ):
        with pytest.raises(ValueError, match=r"called|fixed share"):
            value_of(asked, wrong)
    with pytest.raises(ValueError, match="whole cells"):
        moved(asked, Parameter(kind=KIND.DWELL), by=0.1)
    tight = derivatives(train, demand, solution, parameters=[Parameter(kind=KIND.TRANSFER)], accuracy=1e-18)
    assert not tight[0].settled


def test_moving_a_parameter_there_and_back_and_reading_it():
    """Each move shows in the value by just as much, and leaves what was described as it was."""
    train, demand, _ = press()
    asked = Asked(train=train, demand=demand)
    for parameter in parameters_of(train):
        low, high = reach(asked, parameter)
        before = value_of(asked, parameter)
        assert value_of(moved(asked, parameter, by=high), parameter) - before == pytest.approx(high, rel=1e-9)
        if low:
            assert value_of(moved(asked, parameter, by=low), parameter) - before == pytest.approx(low, rel=1e-9)
        assert value_of(asked, parameter) == before


def test_every_parameter_has_words_for_a_person():
    """A band names its largest contributor; at one nip it names the nip."""
    for kind in ParameterKind:
        assert Parameter(kind=kind).words
        assert "D1/F1" in Parameter(kind=kind, name="D1/F1").words
