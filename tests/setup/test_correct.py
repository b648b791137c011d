"""One measured sheet, and the moves that follow from it: by hand on a press of two keys, and against a hidden press."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from filmsplit.messages import Refusal
from filmsplit.setup.aim import SolidAim
from filmsplit.setup.correct import Correction, Measured, correct
from filmsplit.setup.first_sheet import Spread, first_sheet, press_sides
from filmsplit.setup.settings import Settings, settings_for
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.setup.wait import LEFT, wait_for
from filmsplit.setup.water import WaterRecord, water_start
from filmsplit.simulation.march import march
from filmsplit.simulation.state import empty
from setup.conftest import Bench
from setup.hidden_press import CURVE, densities, hidden_press
from setup.loop import AIM, first_and_second


@pytest.fixture(scope="module")
def first(dipper: Bench, even: SweepResponse) -> Settings:
    assert dipper.unit.fountain is not None
    return settings_for(even, dipper.unit.fountain, unit="A", aim=SolidAim(density=AIM, curve=CURVE))


@pytest.fixture(scope="module")
def spread(even: SweepResponse, first: Settings) -> Spread:
    zoned = even.zoned.swept(first.plan.sweep_mm)
    low, high = press_sides(zoned, first.plan.keys.films_um, solution=first.plan.solution)
    return Spread(press_low=low, press_high=high)


def test_against_hidden_presses(even: SweepResponse, first: Settings, spread: Spread) -> None:
    """First sheets inside the stated band in 80 % of zones, all zones within 0.05 D after one correction (the promise).

    The campaign asks more presses; these few are enough to see it break.
    """
    found = [first_and_second(hidden_press(seed, 8), even, first, spread=spread, seed=seed) for seed in range(4)]
    for each in found:
        assert each.first_off > 0.15  # there was something to mend
        assert each.second_off < 0.05
    assert np.mean([each.inside for each in found]) >= 0.8


def test_the_band_is_not_everything(first: Settings, spread: Spread) -> None:
    """A band that holds all prints would say nothing: 80 % of a film of 1.1 um lies within a third of it."""
    band = first_sheet(first, spread)
    assert np.all(band.high_um - band.low_um < 0.6 * band.print_um)
    assert np.all(first_sheet(first, spread, coverage=0.95).low_um < band.low_um)


def _corrected(settings: Settings, densities_read: list[float], **given: float) -> Correction:
    measured = Measured(densities=np.array(densities_read), curve=CURVE, **given)
    return correct(settings.as_set, measured)


def test_nothing_moves_inside_the_reading_error(first: Settings) -> None:
    moved = _corrected(first, [AIM + 0.015, AIM - 0.015] * 4, reading_error=0.02)
    assert moved.moves == ()
    assert [note.slug for note in moved.notes] == ["setup-nothing-to-move"]


def test_a_key_of_a_zone_that_was_not_read_stays(first: Settings) -> None:
    read = [AIM - 0.2] * 8
    read[3] = float("nan")
    moved = _corrected(first, read)
    assert 4 not in {move.zone for move in moved.moves}
    assert {move.zone for move in moved.moves} == {1, 2, 3, 5, 6, 7, 8}
    assert "setup-zones-unread" in {note.slug for note in moved.notes}


def test_too_dark_everywhere_closes_and_too_light_opens(first: Settings) -> None:
    assert all(move.by < 0 for move in _corrected(first, [AIM + 0.15] * 8).moves)
    assert all(move.by > 0 for move in _corrected(first, [AIM - 0.15] * 8).moves)


def test_a_move_is_limited_and_says_so(first: Settings) -> None:
    moved = correct(first.as_set, Measured(densities=np.full(8, AIM - 0.4), curve=CURVE), most_move=0.05)
    divisions = 0.05 * 15  # of the demo press's keys
    assert all(abs(move.by) <= divisions + 0.25 for move in moved.moves)  # half of what can be set
    assert "setup-moves-limited" in {note.slug for note in moved.notes}


def test_a_print_that_is_right_for_the_wrong_reason_is_explained_by_the_press(first: Settings) -> None:
    """All zones alike 20 % too thin: opening all keys by about a quarter (1/0.8), whichever key it was."""
    film = 0.8 * first.set_prints_um
    wide = correct(
        replace(first.as_set, scale=replace(first.scale, settable=0.01)),
        Measured(densities=densities(film), curve=CURVE, reading_error=0.002),
        spread=Spread(gain=0.02, zero_divisions=0.02),
    )
    for move in wide.moves:
        assert move.after / move.before == pytest.approx(1.25, rel=0.04)


def test_what_no_print_reads_is_refused(first: Settings) -> None:
    with pytest.raises(Refusal) as refused:
        _corrected(first, [AIM] * 7 + [2.3])
    assert refused.value.problems[0].slug == "setup-reading-beyond"
    assert "8" in refused.value.problems[0].what


def test_the_wait_is_that_of_a_march(even: SweepResponse, first: Settings) -> None:
    """All keys a tenth wider: what is left of the change falls as a start-up from empty with a tenth of the keys does,
    because the train is linear; so that march, made here, gives the sheet."""
    zoned = even.zoned.swept(first.plan.sweep_mm)
    films = first.plan.keys.films_um
    waited = wait_for(zoned, 1.1 * films, before=first.plan.solution, accuracy=1e-4)
    period = first.plan.solution.statistics.common_period
    printed = march(zoned.train, zoned.keyed(0.1 * films), state=empty(zoned.train), revolutions=600).printed
    made = np.array([zoned.films_of(sheet) for sheet in printed])
    means = np.array([made[max(0, n - period) : n].sum(axis=0) / period for n in range(1, made.shape[0] + 1)])
    change = 0.1 * first.plan.keys.prints_um
    late = np.flatnonzero(np.any(np.abs(means - change) > LEFT * change.max(), axis=1))[-1]
    assert waited.look_again == pytest.approx(late + 2, abs=3)
    assert 50 < (waited.look_again or 0) < 400


def test_without_a_change_there_is_nothing_to_wait_for(even: SweepResponse, first: Settings) -> None:
    zoned = even.zoned.swept(first.plan.sweep_mm)
    assert wait_for(zoned, first.plan.keys.films_um, before=first.plan.solution).look_again == 1


def test_a_wait_that_is_not_over_is_not_made_up(even: SweepResponse, first: Settings) -> None:
    zoned = even.zoned.swept(first.plan.sweep_mm)
    short = wait_for(zoned, 1.2 * first.plan.keys.films_um, before=first.plan.solution, most_sheets=10)
    assert short.look_again is None
    assert short.films_um.shape[0] == 10


def test_water_starts_from_the_last_record_or_from_the_manual() -> None:
    def record(day: int, paper: str = "offset 80", setting: str = "4.5") -> WaterRecord:
        return WaterRecord(press="dipper", unit="A", paper=paper, day=date(2026, 3, day), setting=setting)

    records = [record(2), record(9, setting="5"), record(12, paper="board")]
    found = water_start(records, press="dipper", unit="A", paper="offset 80")
    assert found.record == records[1]
    assert "5" in found.told.what
    none = water_start(records, press="dipper", unit="B", paper="offset 80")
    assert none.record is None
    assert none.told.slug == "setup-water-no-record"
    assert not any(figure.isdigit() for figure in none.told.what.replace("offset 80", ""))
