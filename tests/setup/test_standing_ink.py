"""How long ink stays, by hand on counts of ink, and bars judged by a settle made here."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.setup.standing_ink import long_stays, stays, take_off_bars
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from setup.conftest import SHEET_ROWS, Bench, FloatArray

LIGHT = [0.2, 0.2, 0.2, 0.01, 0.01, 0.2, 0.2, 0.2]
MOST_TURNS = 400.0


@pytest.fixture(scope="module")
def light(dipper: Bench) -> tuple[ZonedTrain, FloatArray, Solution]:
    zoned = dipper.zoned(LIGHT)
    films = np.array([10.0, 10.0, 8.0, 5.0, 5.0, 8.0, 10.0, 10.0])
    return zoned, films, settle(zoned.train, zoned.keyed(films), throw=True)


def test_stay_is_store_over_print(light: tuple[ZonedTrain, FloatArray, Solution]) -> None:
    """Summed over zones the store is that of all rollers in their columns and the print that of the sheet (budget)."""
    zoned, _, solution = light
    found = stays(zoned, solution)
    assert solution.answers is not None
    assert sum(each.printed_um_mm2 for each in found) == pytest.approx(
        solution.answers.printed_per_revolution_um_mm2, rel=2e-3
    )
    assert sum(each.stored_um_mm2 for each in found) < solution.answers.stored_um_mm2  # plate, blanket and ends besides
    for each in found:
        assert each.turns == pytest.approx(each.stored_um_mm2 / each.printed_um_mm2)


def test_light_zones_are_found(light: tuple[ZonedTrain, FloatArray, Solution]) -> None:
    zoned, _, solution = light
    assert [each.zone for each in long_stays(zoned, solution, most_turns=MOST_TURNS)] == [4, 5]
    assert long_stays(zoned, solution, most_turns=1e9) == ()


def test_ink_that_nobody_takes_stays_for_ever(dipper: Bench) -> None:
    zoned = dipper.zoned([0.2] * 7 + [0.0])
    solution = settle(zoned.train, zoned.keyed(np.full(8, 10.0)), throw=True)
    assert stays(zoned, solution)[-1].turns == np.inf
    assert 8 not in {each.zone for each in long_stays(zoned, solution, most_turns=1.0)}  # its key is shut: no bar


def test_bars_mend_it(light: tuple[ZonedTrain, FloatArray, Solution]) -> None:
    """The plate with its bars is marched from its settled state here; store over print is then short enough, and
    one row less would not be."""
    zoned, films, solution = light
    tail = round(SHEET_ROWS * zoned.train.grid.rows)
    plan = take_off_bars(zoned, films, solution, rows=(tail - 12, tail), most_turns=MOST_TURNS)
    assert plan.enough
    assert [bar.zone for bar in plan.bars] == [4, 5]
    assert plan.bars[0].width_mm == pytest.approx(34.0, abs=8.5)  # mm a zone of the demo press, to a column
    for row in range(tail - 1, tail):
        assert np.all(plan.zoned.demand.coverage[row, slice(*zoned.zones[3])] == 1.0)
    grown = films * plan.zoned.image_cells / zoned.image_cells
    again = settle(plan.zoned.train, plan.zoned.keyed(grown), accuracy=2e-4, throw=True)
    assert again.state is not None
    period = again.statistics.common_period
    done = march(plan.zoned.train, plan.zoned.keyed(grown), state=again.state, revolutions=period)
    printed = plan.zoned.by_zone(done.printed.sum(axis=0) / period)[[3, 4]]
    rollers = sum(again.state.films[loop.rows].sum(axis=0) for loop in plan.zoned.train.loops[:-2])
    assert np.all(plan.zoned.by_zone(rollers)[[3, 4]] / printed <= 1.01 * MOST_TURNS)
    assert {note.slug for note in plan.notes} == {"setup-ink-stays", "setup-take-off-bar"}
    shorter = replace(plan.zoned.demand, coverage=plan.zoned.demand.coverage.copy())
    for bar in plan.bars:
        row = tail - round(bar.length_mm / zoned.train.grid.round_mm)
        shorter.coverage[row, slice(*zoned.zones[bar.zone - 1])] = LIGHT[bar.zone - 1]
    less = replace(plan.zoned, demand=shorter)
    keyed = less.keyed(films * less.image_cells / zoned.image_cells)
    assert long_stays(less, settle(less.train, keyed, throw=True), most_turns=MOST_TURNS)


def test_no_room_no_promise(light: tuple[ZonedTrain, FloatArray, Solution]) -> None:
    zoned, films, solution = light
    tail = round(SHEET_ROWS * zoned.train.grid.rows)
    plan = take_off_bars(zoned, films, solution, rows=(tail - 1, tail), most_turns=50.0)
    assert not plan.enough
    assert "setup-bar-too-short" in {note.slug for note in plan.notes}


def test_no_long_stay_no_bar(light: tuple[ZonedTrain, FloatArray, Solution]) -> None:
    zoned, films, solution = light
    plan = take_off_bars(zoned, films, solution, rows=(0, 5), most_turns=1e9)
    assert plan.bars == ()
    assert plan.enough
    assert plan.zoned is zoned
