"""Cures for ghosts: what is tried, what is refused, and that what is foreseen is what a march then prints."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from filmsplit.actions.find import find_press
from filmsplit.ink.splitting import Array
from filmsplit.press import Press
from filmsplit.simulation.march import march
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.state import empty
from filmsplit.studies.cure_list import Allowed, Listing
from filmsplit.studies.cure_pairs import with_pairs
from filmsplit.studies.cures import Cure, CureKind, Cures, Refused, Trial, image_of, ranked, with_image
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
from filmsplit.studies.ghosts import spread_evenly, strongest_difference

LENGTH, WIDTH = 400, 280
COARSE_MM = 4.0
ANYTHING = Allowed(grain_free=True, stroke_mm=(0.0, 20.0))


def window(*, head: int = 20, tail: int = 60) -> Array:
    """A tint with a bare window near its lead edge: dark ghosts of the window behind it."""
    coverage = np.zeros((LENGTH, WIDTH))
    coverage[head : LENGTH - tail, 20 : WIDTH - 20] = 0.6
    coverage[60:90, 100:180] = 0.0
    return coverage


def setting_of(coverage: Array, press: str = "heron") -> tuple[Press, FilmSetting]:
    found = find_press(press).press
    question = FilmQuestion(coverage=coverage, sheet_mm=(float(LENGTH), float(WIDTH)))
    (setting,) = settings_of(found, found.units[:1], question)
    return found, setting


def listed(setting: FilmSetting, press: Press, allowed: Allowed = ANYTHING) -> tuple[list[Cure], list[Refused]]:
    return Listing(press=press, job=(setting,), worst=0, allowed=allowed).all()


@cache
def windows_cured() -> tuple[Cures, FilmSetting, Trial, Listing]:
    press, setting = setting_of(window())
    trial = Trial(film_um=10.0, round_mm=COARSE_MM)
    listing = Listing(press=press, job=(setting,), worst=0, allowed=ANYTHING)
    cures, refused = listing.all()
    return ranked((setting,), cures, trial=trial, refused=refused), setting, trial, listing


def test_the_best_leaves_least_and_every_gain_is_what_it_says() -> None:
    found, *_ = windows_cured()
    left = [each.strongest for each in found.tried]
    assert left == sorted(left)
    assert found.tried[0].cure.kind is CureKind.TURNED
    for each in found.tried:
        assert each.gain == pytest.approx(1 - each.strongest / found.before)
    assert found.not_settled == ()


def test_bands_take_in_the_middle() -> None:
    found, *_ = windows_cured()
    for each in found.tried[:3]:
        assert each.band is not None
        assert each.band[0] <= each.gain <= each.band[1]


def test_what_the_press_and_the_sheet_do_not_allow_is_refused_with_its_reason() -> None:
    press, setting = setting_of(window(tail=2))
    _, refused = listed(setting, press, Allowed())
    reasons = {(each.kind, each.reason) for each in refused}
    assert (CureKind.QUARTER, "grain") in reasons or (CureKind.QUARTER, "sheet") in reasons
    assert {(CureKind.BAR, "no_room"), (CureKind.STROKE, "stroke_unknown"), (CureKind.PASSES, "one_kind")} <= reasons
    strict = Allowed(trim=False, guide_free=False, second_pass=False, backed=True)
    _, refused = listed(setting, press, strict)
    assert {(each.kind, each.reason) for each in refused} >= {
        (CureKind.TURNED, "backed"),
        (CureKind.QUARTER, "backed"),
        (CureKind.SHIFTED, "guide"),
        (CureKind.BAR, "no_trim"),
        (CureKind.PASSES, "one_pass"),
    }


def test_a_sheet_that_runs_either_way_is_turned_a_quarter_only_where_grain_and_gripper_allow_it() -> None:
    press = find_press("heron").press
    coverage = np.zeros((250, 300))
    coverage[4:200, 30:280] = 0.5
    question = FilmQuestion(coverage=coverage, sheet_mm=(250.0, 300.0))
    (setting,) = settings_of(press, press.units[:1], question)
    cures, _ = listed(setting, press)
    assert sum(each.kind is CureKind.QUARTER for each in cures) == 2
    for allowed, reason in ((Allowed(), "grain"), (replace(ANYTHING, gripper_mm=10.0), "gripper")):
        _, refused = listed(setting, press, allowed)
        assert Refused(kind=CureKind.QUARTER, reason=reason) in refused


def test_a_contact_that_cannot_be_thrown_off_is_not() -> None:
    press, setting = setting_of(window())
    fixed = replace(setting.unit, contacts=tuple(replace(each, throws_off=False) for each in setting.unit.contacts))
    cures, refused = listed(replace(setting, unit=fixed), press)
    assert not any(each.kind is CureKind.FORM_OFF for each in cures)
    assert {each.reason for each in refused if each.kind is CureKind.FORM_OFF} == {"form_fixed"}


def test_two_passes_part_heavy_image_from_tints() -> None:
    press, setting = setting_of(window())
    mixed = window()
    mixed[200:300, 60:200] = 1.0
    mixed[mixed == 0.6] = 0.3
    setting = with_image(setting, replace(image_of(setting), coverage=mixed))
    (cure,) = [each for each in listed(setting, press)[0] if each.kind is CureKind.PASSES]
    parts = [each.coverage for each in cure.settings]
    np.testing.assert_allclose(sum(parts), mixed)
    assert not np.any((parts[0] > 0) & (parts[1] > 0))


def test_a_pair_is_kept_only_where_it_beats_its_better_half() -> None:
    found, _, trial, listing = windows_cured()
    paired = with_pairs(found, listing, trial=trial)
    best = found.tried[0].strongest
    pairs = [each for each in paired.tried if each.cure.kind is CureKind.BOTH]
    assert all(each.strongest < best for each in pairs)
    assert all(each.cure.parts[0].kind is CureKind.TURNED for each in pairs)


MARCHED_PERIODS = 60
WITHIN = 0.02


def marched_strongest(setting: FilmSetting, trial: Trial) -> float:
    """The strongest ghost after so many periods from empty rollers, marched step by step with no settled solve, as a
    mean over one more common period."""
    zoned = trial.zoned(setting)
    demand = zoned.keyed(trial.films_um(zoned))
    even = replace(demand, coverage=np.ascontiguousarray(spread_evenly(zoned)))
    turns = with_common_period(setting.network)[1].revolutions
    prints = []
    for each in (demand, even):
        state = march(zoned.train, each, state=empty(zoned.train), revolutions=MARCHED_PERIODS * turns).state
        passing = march(zoned.train, each, state=state, revolutions=turns, watch=True).passing
        assert passing is not None
        prints.append(passing.sheet_um)
    return strongest_difference(prints[0], prints[1], coverage=zoned.demand.coverage, grid=zoned.train.grid)


def test_a_gain_is_what_a_full_march_prints() -> None:
    """Within 2 % of the ghost, for the best cure and for one that makes it worse."""
    found, setting, trial, _ = windows_cured()
    before = marched_strongest(setting, trial)
    assert found.before == pytest.approx(before, rel=WITHIN)
    for each in (found.tried[0], found.tried[-1]):
        marched = 1 - marched_strongest(each.cure.settings[0], trial) / before
        assert each.gain == pytest.approx(marched, abs=WITHIN)
