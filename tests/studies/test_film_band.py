"""The band of `film`: what it is made of, and the straightened law it is found with."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.actions.find import find_press
from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.library.uncertainties import uncertainties_of
from filmsplit.simulation.bands import band_of
from filmsplit.simulation.parameters import ParameterKind
from filmsplit.simulation.sensitivity import derivatives
from filmsplit.simulation.settle import settle
from filmsplit.studies.film_band import ACCURACY, straightened
from filmsplit.studies.film_cells import prepare
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.film_study import film_study
from studies.asked import STRAIGHT

LAWS = [WalkerFetsko(k=3, b=2, f=0.3), WalkerFetsko(k=1.2, b=1, f=0.45)]
"""Invented constants: smooth stock that takes much of a thin film, rough stock that takes less."""


def test_the_band_of_the_row_of_rollers_by_hand() -> None:
    """Without oscillation, gap or ductor the print goes with the key film: 10 % unsure keys alone make 10 % of film.

    An 80 % band of a normal error is 1.2816 standard deviations to either side (table of the normal distribution).
    """
    press = find_press(str(STRAIGHT)).press
    setting = settings_of(press, press.units, FilmQuestion(coverage=1.0))[0]

    def keys_only(train, demand):  # type: ignore[no-untyped-def]
        return [each for each in uncertainties_of(train, demand) if each.parameter.kind is ParameterKind.KEY_FILM]

    found = film_study(setting, uncertainties=keys_only).band
    assert found is not None
    assert found.band.sigma_um == pytest.approx(0.1, rel=ACCURACY)
    assert found.band.low_um == pytest.approx(1 - 0.12816, abs=ACCURACY * 0.13)
    assert found.band.high_um == pytest.approx(1 + 0.12816, abs=ACCURACY * 0.13)
    assert found.band.largest is not None
    assert found.band.largest.kind is ParameterKind.KEY_FILM
    assert found.coarse_differs == pytest.approx(0, abs=1e-6)  # nothing differs from place to place


@pytest.mark.parametrize("law", LAWS)
def test_the_straightened_law_gives_the_band_of_the_curve(law: WalkerFetsko) -> None:
    """Two ways to one number: slopes of the straightened train, and settled states a little way apart."""
    press = find_press(str(STRAIGHT)).press
    question = FilmQuestion(coverage=(0.9, 0.9, 0.7, 0.7, 0.5, 0.5, 0.3, 0.3, 0.2, 0.2), transfer=law, key_films_um=9.0)
    setting = settings_of(press, press.units, question)[0]
    cells = prepare(setting, most_cells=4000)
    demand = cells.keyed(9.0)
    solution = settle(cells.train, demand, accuracy=1e-6, throw=True)
    assert solution.answers is not None
    stated = uncertainties_of(cells.train, demand)
    straight = straightened(demand, blanket_um=solution.answers.blanket_um)
    assert isinstance(straight.transfer, FixedShare)
    bands = []
    for each in (demand, straight):
        parameters = [one.parameter for one in stated]
        slopes = derivatives(cells.train, each, solution, parameters=parameters, accuracy=3e-3)
        bands.append(band_of(solution.answers.sheet_mean_um, slopes, uncertainties=stated))
    assert bands[1].sigma_um == pytest.approx(bands[0].sigma_um, rel=0.02)
    assert bands[1].largest == bands[0].largest


def test_a_law_with_a_fixed_share_is_left_as_it_is() -> None:
    press = find_press(str(STRAIGHT)).press
    setting = settings_of(press, press.units, FilmQuestion())[0]
    demand = prepare(setting, most_cells=4000).keyed(np.ones(10).cumsum())
    assert straightened(demand, blanket_um=2.0) is demand
