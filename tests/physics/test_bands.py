"""Bands against closed forms and against solving the train anew with every parameter drawn at random."""

import numpy as np
import pytest

from filmsplit.simulation.bands import Uncertainty, band_of
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.sensitivity import Derivative, derivatives
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, small_press

KIND = ParameterKind
FILM, TAU = Parameter(kind=KIND.KEY_FILM), Parameter(kind=KIND.TRANSFER)


def slope(parameter, value, *, settled=True):
    return Derivative(
        parameter=parameter, at=1.0, sheet_um_per_unit=value, by_column=np.zeros(1), error=0.0, settled=settled
    )


def sure(parameter, sigma):
    return Uncertainty(parameter=parameter, sigma=sigma, source="invented for a test")


def test_two_errors_add_as_squares():
    """0.3 and 0.4 make 0.5; 80 % of a normal error lies within 1.2816 of its deviation (tables); 9 and 16 in 25."""
    slopes = [slope(FILM, 0.1), slope(TAU, -2.0)]
    band = band_of(1.0, slopes, uncertainties=[sure(FILM, 3.0), sure(TAU, 0.2)])
    assert band.sigma_um == pytest.approx(0.5)
    assert (band.low_um, band.high_um) == (pytest.approx(1 - 0.5 * 1.2816, abs=1e-4), pytest.approx(1.6408, abs=1e-4))
    assert band.parts == {FILM: pytest.approx(9 / 25), TAU: pytest.approx(16 / 25)}
    assert band.largest == TAU
    assert band.coverage == 0.8
    wide = band_of(1.0, slopes, uncertainties=[sure(FILM, 3.0), sure(TAU, 0.2)], coverage=0.99)
    assert wide.high_um == pytest.approx(1 + 0.5 * 2.5758, abs=1e-4)
    assert wide.low_um == 0.0  # 1 - 1.29: a film below nothing is cut off


def test_nothing_uncertain_is_no_band_and_nothing_is_left_out():
    band = band_of(1.0, [slope(FILM, 0.1)], uncertainties=[sure(FILM, 0.0)])
    assert (band.low_um, band.high_um, band.largest) == (1.0, 1.0, None)
    assert band_of(1.0, [], uncertainties=[]).largest is None
    with pytest.raises(ValueError, match="no derivative"):
        band_of(1.0, [slope(FILM, 0.1)], uncertainties=[sure(TAU, 0.1)])
    with pytest.raises(ValueError, match="twice"):
        band_of(1.0, [slope(FILM, 0.1)], uncertainties=[sure(FILM, 0.1), sure(FILM, 0.2)])
    for wrong in (-0.1, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="finite"):
            band_of(1.0, [slope(FILM, 0.1)], uncertainties=[sure(FILM, wrong)])
    for wrong in (0.0, 1.0):
        with pytest.raises(ValueError, match="between"):
            band_of(1.0, [slope(FILM, 0.1)], uncertainties=[sure(FILM, 0.1)], coverage=wrong)


def test_a_derivative_that_did_not_settle_shows_in_the_band():
    band = band_of(1.0, [slope(FILM, 0.1, settled=False), slope(TAU, 1.0)], uncertainties=[sure(FILM, 1.0)])
    assert not band.settled
    assert band_of(1.0, [slope(FILM, 0.1, settled=False)], uncertainties=[]).settled


def monte_carlo(asked, uncertainties, *, draws, start, seed=3):
    """Settled sheet means with every parameter drawn from its normal distribution."""
    rng = np.random.default_rng(seed)
    films = []
    for _ in range(draws):
        drawn = asked
        for each in uncertainties:
            drawn = moved(drawn, each.parameter, by=float(rng.normal(0, each.sigma)))
        films.append(settle(drawn.train, drawn.demand, accuracy=1e-3, start=start).answers.sheet_mean_um)
    return np.array(films)


TRAINS = {
    "chain": (chain(3), grid_of(60, 1, round_mm=2.0, across_mm=1.0), {}, 200),
    "oscillating": (small_press(), grid_of(120, 40, round_mm=6.0, across_mm=5.0), {"feed": 20.0}, 100),
}


@pytest.mark.parametrize("name", TRAINS)
def test_band_against_draws(name):
    """Deviation of n draws is known to 1/sqrt(2n), the part of them in the band to 0.4/sqrt(n): three of each are
    allowed, the chance of a false alarm is then below 1 %. Curvature over these deviations is a few percent of them."""
    net, grid, sweeps, draws = TRAINS[name]
    train = compile_network(net, grid)
    cover = np.ones((grid.rows, grid.columns)) if name == "chain" else coverage(grid, gap=0.2)
    demand = Demand(coverage=cover, films_um={"feed": 10.0}, sweeps_mm=sweeps)
    solution = settle(train, demand, accuracy=1e-6, most_periods=100)
    nips = [Parameter(kind=KIND.SPLIT, name=each.id) for each in train.nips if each.id != "T1/R"]
    uncertain = [sure(each, 0.01) for each in nips] + [sure(TAU, 0.02), sure(FILM, 0.5)]
    slopes = derivatives(train, demand, solution, parameters=[each.parameter for each in uncertain])
    value = solution.answers.sheet_mean_um
    band = band_of(value, slopes, uncertainties=uncertain)
    films = monte_carlo(Asked(train=train, demand=demand), uncertain, draws=draws, start=solution.state)
    assert band.settled
    assert band.sigma_um == pytest.approx(films.std(), rel=3 / (2 * draws) ** 0.5)
    inside = np.mean((films >= band.low_um) & (films <= band.high_um))
    assert inside == pytest.approx(0.8, abs=3 * 0.4 / draws**0.5)
    assert sum(band.parts.values()) == pytest.approx(1.0)


def test_largest_contributor_is_the_one_whose_absence_helps_most():
    """Draws without the named one spread less than draws without any other (chain, three uncertain numbers)."""
    train = compile_network(chain(3), grid_of(60, 1, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((30, 1)), films_um={"feed": 10.0})
    solution = settle(train, demand, accuracy=1e-6)
    uncertain = [sure(FILM, 1.0), sure(TAU, 0.1), sure(Parameter(kind=KIND.SPLIT, name="R1/R2"), 0.02)]
    slopes = derivatives(train, demand, solution, parameters=[each.parameter for each in uncertain])
    band = band_of(solution.answers.sheet_mean_um, slopes, uncertainties=uncertain)
    asked = Asked(train=train, demand=demand)
    left = {
        each.parameter: monte_carlo(
            asked, [other for other in uncertain if other is not each], draws=50, start=solution.state
        ).std()
        for each in uncertain
    }
    assert band.largest == min(left, key=left.get)
