"""Densities and uncertainties that come with the program: whole, sourced, and what their sources give by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.library.inks import DEFAULT_INK, Ink, ink, inks
from filmsplit.library.uncertainties import Spread, spreads, uncertainties_of
from filmsplit.simulation.bands import band_of
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.parameters import ParameterKind
from filmsplit.simulation.sensitivity import derivatives
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, small_press


@pytest.mark.parametrize("each", inks(), ids=lambda each: each.slug)
def test_each_ink_is_whole(each: Ink) -> None:
    """Between 1.0 and 1.1 g/cm3 (common practice); the deviation of an even spread over that is 0.1/sqrt(12)."""
    assert each.source
    assert 1.0 <= each.density_g_per_cm3 <= 1.1
    assert each.sigma_g_per_cm3 == pytest.approx(0.1 / math.sqrt(12), abs=0.002)


def test_an_ink_is_found_by_its_name() -> None:
    assert ink().slug == DEFAULT_INK
    assert ink("process-cyan").density_g_per_cm3 == 1.05
    with pytest.raises(KeyError):
        ink("process-white")


@pytest.mark.parametrize("spread", spreads(), ids=lambda spread: spread.kind.value)
def test_each_spread_is_whole(spread: Spread) -> None:
    assert 0 < spread.sigma < 1
    assert any(word in spread.source for word in ("memory", "common practice", "invented default"))


def test_every_kind_of_number_has_its_spread_once() -> None:
    assert sorted(spread.kind.value for spread in spreads()) == sorted(kind.value for kind in ParameterKind)


def test_the_spread_of_the_split_is_what_its_source_gives() -> None:
    """Films in the ratio x leave the share x/(1 + x), so near x = 1 an error of the ratio shows by a quarter in the
    share; limits 15 % to either side, spread evenly, have a deviation of 15 %/sqrt(3) (arithmetic)."""
    split = next(spread for spread in spreads() if spread.kind is ParameterKind.SPLIT)
    by_hand = 0.15 / math.sqrt(3) / 4
    assert split.sigma == pytest.approx(by_hand, rel=0.02)
    assert abs(0.87 / 1.87 - 0.5) < 2 * split.sigma  # the measured split lies within two deviations of the even one


def test_uncertainties_of_a_train() -> None:
    """One for each nip's split and contact, one for all of the rest that is there; relative ones by their number."""
    train = compile_network(small_press(), grid_of(120, 40, round_mm=4.0, across_mm=4.0))
    demand = Demand(coverage=coverage(train.grid), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    found = uncertainties_of(train, demand)
    kinds = [each.parameter.kind for each in found]
    assert kinds.count(ParameterKind.CONTACT) == len(train.nips) == 9
    assert kinds.count(ParameterKind.SPLIT) == 9
    assert all(kinds.count(kind) == 1 for kind in set(ParameterKind) - {ParameterKind.CONTACT, ParameterKind.SPLIT})
    sigma = {each.parameter.kind: each.sigma for each in found}
    assert sigma[ParameterKind.KEY_FILM] == pytest.approx(3.0)
    assert sigma[ParameterKind.SWEEP] == pytest.approx(1.0)
    assert all(each.source for each in found)


def test_a_forecast_with_its_band_and_largest_contributor() -> None:
    """Solid chain, film-fed, even split, q = 10/7 um: the band from the stated uncertainties, its key part by hand."""
    train = compile_network(chain(3), grid_of(60, 1, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((30, 1)), films_um={"feed": 10.0})
    solution = settle(train, demand, accuracy=1e-6)
    uncertain = uncertainties_of(train, demand)
    slopes = derivatives(train, demand, solution, parameters=[each.parameter for each in uncertain])
    assert solution.answers is not None
    band = band_of(solution.answers.sheet_mean_um, slopes, uncertainties=uncertain)
    assert band.settled
    assert band.largest is not None
    key = next(each for each in band.parts if each.kind is ParameterKind.KEY_FILM)
    assert band.parts[key] * band.sigma_um**2 == pytest.approx((0.1 * 10 / 7) ** 2, rel=1e-4)
    assert band.low_um < 10 / 7 < band.high_um


def test_a_law_that_is_no_fixed_share_has_no_transfer_to_be_unsure_of() -> None:
    train = compile_network(chain(3), grid_of(60, 1, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((30, 1)), films_um={"feed": 10.0}, transfer=WalkerFetsko(k=3, b=2, f=0.3))
    assert ParameterKind.TRANSFER not in {each.parameter.kind for each in uncertainties_of(train, demand)}
