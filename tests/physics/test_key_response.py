"""What each key does to each zone: superposition, columns that do not interact, and keys moved one by one."""

import functools
from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.key_response import key_responses
from filmsplit.simulation.linear import LinearPeriod, NotAnsweredError
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import compile_network
from physics.trains import chain, coverage, small_press

ZONES = [(0, 4), (4, 8), (8, 12), (12, 16), (16, 20)]
ACCURACY = 1e-6


def press(**options):
    train = compile_network(small_press(**options), grid_of(120, 40, round_mm=2.0, across_mm=2.0))
    sweeps = {"feed": 20.0} if options.get("feed", "ductor") == "ductor" else {}
    return train, Demand(coverage=coverage(train.grid, gap=0.2), sweeps_mm=sweeps)


def zone_films(train, demand, keys):
    """Settled mean film of each zone for given keys: each zone's by the columns of the answers."""
    film = np.zeros(train.grid.columns)
    for zone, key in zip(ZONES, keys, strict=True):
        film[slice(*zone)] = key
    asked = replace(demand, films_um={"feed": film})
    start = None
    films = []
    for zone in ZONES:
        solution = settle(train, asked, accuracy=1e-8, most_periods=200, start=start, columns=zone)
        assert solution.ok
        start = solution.state
        films.append(solution.answers.sheet_mean_um)
    return np.array(films)


@pytest.mark.parametrize("options", [{}, {"feed": "fountain"}, {"swing": False}, {"swing": False, "feed": "fountain"}])
def test_any_keys_are_the_sum_of_what_each_gives(options):
    """The print is linear in the keys: the matrix times any keys is the settled print, zone by zone; rows add up to
    what all keys at 1 um give."""
    train, demand = press(**options)
    matrix = key_responses(train, demand, zones=ZONES, accuracy=ACCURACY)
    for keys in ([30.0, 10.0, 0.0, 45.0, 22.0], [1.0] * 5):
        expected = zone_films(train, demand, keys)
        assert matrix @ keys == pytest.approx(expected, abs=5 * ACCURACY * max(keys) * matrix.sum(axis=1).mean())
    assert matrix.sum(axis=1) == pytest.approx(zone_films(train, demand, [1.0] * 5), rel=1e-4)


def test_one_key_moved_by_itself():
    """Oscillators carry ink to the neighbours, less the farther off they are."""
    train, demand = press()
    matrix = key_responses(train, demand, zones=ZONES, accuracy=ACCURACY)
    low, high = (zone_films(train, demand, [30.0, 30.0, 30.0 + by, 30.0, 30.0]) for by in (-5, 5))
    assert matrix[:, 2] == pytest.approx((high - low) / 10, rel=1e-3)
    for zone in range(4):
        assert np.all(np.diff(matrix[zone, zone:]) < 0)
    assert matrix.min() > 0


def test_without_oscillators_a_key_reaches_only_its_zone():
    """Columns do not interact (the model's statement); solid, even split: q = film / 7 (algebra)."""
    train = compile_network(chain(3), grid_of(60, 6, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((60, 6)))
    matrix = key_responses(train, demand, zones=[(0, 2), (2, 3), (3, 6)], accuracy=1e-9)
    assert matrix == pytest.approx(np.eye(3) / 7, abs=1e-8)


def test_a_zone_without_image_answers_no_key_and_one_beyond_the_sheet_neither():
    train, demand = press()
    cover = demand.coverage.copy()
    cover[:, 4:8] = 0
    bare = replace(demand, coverage=cover, sheet_across_mm=(0.0, 32.0))
    matrix = key_responses(train, bare, zones=ZONES, accuracy=1e-4)
    assert np.all(matrix[[1, 4]] == 0)
    assert matrix[0, 1] > 0  # its ink goes sideways to where there is image


def test_questions_that_have_no_answer():
    train, demand = press()
    assert key_responses(train, demand, zones=[]).shape == (0, 0)
    with pytest.raises(ValueError, match="name one"):
        key_responses(train, demand, zones=ZONES, feed="water")
    with pytest.raises(ValueError, match="sum of"):
        key_responses(train, replace(demand, transfer=WalkerFetsko(k=3, b=2, f=0.3)), zones=ZONES)


def test_an_answer_that_did_not_settle_is_not_handed_out(monkeypatch):
    """The settled print of all keys is there, but a single key's answer is cut short."""
    train, demand = press()
    short = functools.partialmethod(LinearPeriod.answer, most_periods=1)
    monkeypatch.setattr(LinearPeriod, "answer", short)
    with pytest.raises(NotAnsweredError) as caught:
        key_responses(train, demand, zones=ZONES, accuracy=1e-3)
    assert caught.value.answer.periods == 1
    assert not caught.value.answer.settled
