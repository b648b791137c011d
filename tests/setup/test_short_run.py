"""Short runs on a small demo press: plans marched here beside settled settings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.setup.aim import SolidAim
from filmsplit.setup.settings import Settings, settings_for
from filmsplit.setup.short_run import ShortJob, ShortPlan, ShortRun, evaluate, is_short, plan_short_run
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.simulation.march import march
from filmsplit.simulation.response import start_up
from filmsplit.simulation.state import empty
from setup.conftest import Bench
from setup.hidden_press import CURVE


@pytest.fixture(scope="module")
def settled(dipper: Bench, even: SweepResponse) -> Settings:
    assert dipper.unit.fountain is not None
    return settings_for(even, dipper.unit.fountain, unit="A", aim=SolidAim(density=1.4, curve=CURVE))


def _job(even: SweepResponse, settled: Settings, sheets: int, tolerance: float = 0.1) -> ShortJob:
    return ShortJob(
        zoned=even.zoned.swept(settled.plan.sweep_mm),
        films_um=settled.plan.keys.films_um,
        solution=settled.plan.solution,
        sheets=sheets,
        curve=CURVE,
        tolerance=tolerance,
        widest=0.85 / float(settled.plan.keys.openings.max()),
    )


@pytest.fixture(scope="module")
def planned(even: SweepResponse, settled: Settings) -> ShortRun:
    return plan_short_run(_job(even, settled, 100))


def test_a_run_is_short_beside_the_rollers_memory(even: SweepResponse, settled: Settings) -> None:
    job = _job(even, settled, 100)
    response = start_up(job.zoned.train, job.zoned.keyed(job.films_um), solution=job.solution)
    assert response.sheets_63 is not None
    assert is_short(100, response.sheets_63)
    assert not is_short(3 * response.sheets_63, response.sheets_63)


@pytest.mark.parametrize("sheets", [40, 100, 150])
def test_a_plan_keeps_more_sheets_than_settled_settings(even: SweepResponse, settled: Settings, sheets: int) -> None:
    found = plan_short_run(_job(even, settled, sheets))
    assert found.gain == found.plain.waste - found.best.waste > 0
    assert found.best.waste <= found.charged.waste <= found.plain.waste


def test_what_is_said_of_settled_settings_is_a_plain_march(
    even: SweepResponse, settled: Settings, planned: ShortRun
) -> None:
    job = _job(even, settled, 100)
    done = march(job.zoned.train, job.zoned.keyed(job.films_um), state=empty(job.zoned.train), revolutions=100)
    films = np.array([job.zoned.films_of(sheet) for sheet in done.printed])
    np.testing.assert_allclose(planned.plain.films_um, films)
    density = CURVE.saturation * (1 - np.exp(-CURVE.rate * films))
    aim = CURVE.saturation * (1 - np.exp(-CURVE.rate * settled.plan.keys.prints_um))
    assert planned.plain.waste == int(np.sum(np.any(np.abs(density - aim) > 0.1, axis=1)))


def test_the_ductor_is_held_off_as_early_as_costs_no_sheet(
    even: SweepResponse, settled: Settings, planned: ShortRun
) -> None:
    plan = planned.best.plan
    assert plan.ductor_off_after < 100
    earlier = evaluate(_job(even, settled, 100), replace(plan, ductor_off_after=plan.ductor_off_after - 1))
    assert earlier.waste > planned.best.waste


def test_a_charge_makes_no_sheets_and_brings_ink(even: SweepResponse, settled: Settings) -> None:
    job = _job(even, settled, 20)
    bare = evaluate(job, ShortPlan(charge_revolutions=0, factor=1.0, run_settings_from=1, ductor_off_after=20))
    charged = evaluate(job, ShortPlan(charge_revolutions=40, factor=1.0, run_settings_from=1, ductor_off_after=20))
    assert charged.films_um.shape == bare.films_um.shape == (20, 8)
    assert np.all(charged.films_um[2:] > bare.films_um[2:])


def test_rollers_full_of_ink_need_no_charge(even: SweepResponse, settled: Settings) -> None:
    job = replace(_job(even, settled, 60), state=settled.plan.solution.state)
    found = plan_short_run(job)
    assert found.best.waste == 0
    assert found.best.plan.charge_revolutions == 0


def test_nothing_is_planned_with_a_law_that_does_not_add_up(even: SweepResponse, settled: Settings) -> None:
    job = _job(even, settled, 20)
    demand = replace(job.zoned.demand, transfer=WalkerFetsko(k=3.0, b=2.0, f=0.3))
    with pytest.raises(ValueError, match="sum of its parts"):
        plan_short_run(replace(job, zoned=replace(job.zoned, demand=demand)))
