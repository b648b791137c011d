"""A job set on a press, checked from outside: what it prints when put back, what it weighs, what it refuses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from filmsplit.actions.find import find_press
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.work import WorkAsked
from filmsplit.ink.density import solid_density
from filmsplit.messages import Refusal
from filmsplit.records.jobs import JobRecord, ZoneRecord, log_job
from filmsplit.records.store import Store
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import settle
from filmsplit.studies.job_question import Before

WORK = WorkAsked(what=("4 12 16 20 22 16 10 6",))
"""For Dipper: eight zones, numbered keys, sweep in notches."""


@pytest.fixture(scope="module")
def dipper() -> Set:
    return set_job("dipper", WORK, JobAsked(run=2000, stock="offset", constants=(1.9, 1.4)))


def refused(reference: str, work: WorkAsked, asked: JobAsked, *, records: Path | None = None) -> set[str]:
    with pytest.raises(Refusal) as refusal:
        set_job(reference, work, asked, records=records)
    assert all(problem.what and problem.remedy for problem in refusal.value.problems)
    return {problem.slug for problem in refusal.value.problems}


def test_the_keys_as_read_print_what_is_said(dipper: Set) -> None:
    """Readings turned back into films by hand, settled finer and marched one more period: nothing of the plan's own."""
    (unit,), (study,) = dipper.answer.units, dipper.studies
    keys = dipper.press.units[0].fountain.keys  # type: ignore[union-attr]
    assert keys.film_um_per_division is not None
    opened = np.array([(key.reading - keys.lowest) * keys.film_um_per_division for key in unit.keys])
    # One blade: each neighbour's opening makes 8 % of a zone's film (the limits' coupling, common practice).
    films = [
        sum(0.08 * opened[j] for j in (i - 1, i + 1) if 0 <= j < 8)
        + opened[i] * (1 - 0.08 * sum(0 <= j < 8 for j in (i - 1, i + 1)))
        for i in range(8)
    ]
    assert [key.film_um for key in unit.keys] == pytest.approx(films, rel=1e-6)
    assert unit.sweep is not None
    zoned = study.zoned.swept(unit.sweep.mm)
    demand = zoned.keyed(np.array(films))
    solution = settle(zoned.train, demand, accuracy=2e-4, throw=True)
    assert solution.state is not None
    period = solution.statistics.common_period
    done = march(zoned.train, demand, state=solution.state, revolutions=period)
    prints = zoned.films_of(done.printed.sum(axis=0) / period)
    assert [key.print_um for key in unit.keys] == pytest.approx(prints, rel=5e-3)
    assert [key.density for key in unit.keys] == pytest.approx(
        solid_density(prints, saturation=1.9, rate=1.4 * 1.05), rel=5e-3
    )  # 1 um of ink of 1.05 g/cm3 weighs 1.05 g/m2


def test_ink_by_hand(dipper: Set) -> None:
    """Check 27: sheets x image area x film x density. 2000 sheets, 1.05 g/cm3, 1 um on 1 mm2 weighs 1e-6 cm3 x that."""
    (unit,) = dipper.answer.units
    press = dipper.press
    edges = np.array(dipper.studies[0].setting.zone_edges_mm)
    assert [key.width_mm for key in unit.keys] == pytest.approx(np.diff(edges))
    middle, half = dipper.studies[0].setting.width_mm / 2, press.sheet_width_mm / 2
    under = np.diff(np.clip(edges, middle - half, middle + half))
    image_mm2 = np.array([4, 12, 16, 20, 22, 16, 10, 6]) / 100 * under * dipper.answer.sheet_length_mm
    by_hand_kg = 2000 * float(image_mm2 @ [key.print_um or 0.0 for key in unit.keys]) * 1e-6 * 1.05 * 1e-3
    assert unit.ink_need.printed_kg == pytest.approx(by_hand_kg, rel=0.02)  # zones end at whole cells
    assert unit.ink_need.per_1000_sheets_kg == pytest.approx(by_hand_kg / 2, rel=0.02)


def test_limits_of_the_keys_are_kept(dipper: Set) -> None:
    (unit,) = dipper.answer.units
    assert 0.40 <= unit.mean_open <= 0.60
    # Half a division is the least that is set; the fit itself stays between 10 and 85 %.
    assert all(0.10 - 0.03 <= key.opening <= 0.85 for key in unit.keys)
    assert unit.sweep is not None
    assert unit.sweep.reading == round(unit.sweep.reading)


def test_a_short_run_is_planned_to_its_last_sheet() -> None:
    found = set_job("dipper", WORK, JobAsked(run=120, constants=(1.9, 1.4)))
    start = found.answer.units[0].start
    assert start is not None
    assert start.short
    assert start.sheets == 120
    assert start.waste < start.plain_waste
    good = [low >= start.settled_mean - 0.4 for low in start.values_low]  # every zone near its own aim
    assert sum(good) >= 120 - start.waste


def test_after_a_stop_the_rollers_are_charged_already(dipper: Set) -> None:
    (clean,) = dipper.answer.units
    found = set_job("dipper", WORK, JobAsked(run=2000, before=Before.STOPPED, constants=(1.9, 1.4)))
    (unit,) = found.answer.units
    assert unit.ink_need.charge_kg < 0.1 * clean.ink_need.charge_kg
    assert unit.start is not None
    assert clean.start is not None
    assert unit.start.waste < clean.start.waste / 2
    assert [key.reading for key in unit.keys] == [key.reading for key in clean.keys]


def test_charged_from_a_job_on_record(tmp_path: Path, dipper: Set) -> None:
    """What a job leaves depends on what it printed: after a heavy one the first sheets are fuller than after none."""
    records = tmp_path / "shop.records"
    (clean,) = dipper.answer.units
    assert clean.sweep is not None
    zones = tuple(ZoneRecord(zone=key.zone, coverage=key.coverage, key=key.reading) for key in clean.keys)
    job = JobRecord(press="dipper", unit="A", title="before", printed_on=date(2026, 1, 5), zones=zones)
    job = replace(job, sweep=clean.sweep.reading, stock="offset", water=42.0)
    with Store.at(records).write("test") as writer:
        code = log_job(writer, job)
        bare = log_job(writer, replace(job, zones=(), water=None))
        other = log_job(writer, replace(job, press="heron"))
    found = set_job(
        "dipper", WORK, JobAsked(run=2000, after=code, stock="offset", constants=(1.9, 1.4)), records=records
    )
    (unit,) = found.answer.units
    assert clean.start is not None
    assert unit.start is not None
    assert unit.start.plain_mean[1] > clean.start.plain_mean[1] + 0.5
    assert unit.water.slug == "setup-water-as-last"
    assert "42" in unit.water.what
    assert refused("dipper", WORK, JobAsked(after=bare), records=records) == {"setup-earlier-incomplete"}
    assert refused("dipper", WORK, JobAsked(after=other), records=records) == {"setup-earlier-elsewhere"}
    assert refused("dipper", WORK, JobAsked(after="AAAA-AAAA"), records=records) <= {
        "job-code-mistyped",
        "job-not-found",
    }


def test_inks_go_over_units_and_passes() -> None:
    press = find_press("lapwing").press
    ids = [unit.id for unit in press.units]
    assert len(ids) == 2
    zones = len(press.units[0].fountain.zone_widths_mm)  # type: ignore[union-attr]
    typed = WorkAsked(what=(f"{zones}x20",), inks=("black",))
    turned = JobAsked(passes=(((ids[1], "black"),),))
    found = set_job("lapwing", typed, turned)
    assert [(unit.unit, unit.pass_number, unit.ink) for unit in found.answer.units] == [(ids[1], 1, "black")]
    assert "film-assumed-ink" not in {note.slug for note in found.answer.units[0].notes}
    twice = JobAsked(passes=(((ids[0], "black"),), ((ids[0], "black"),)))
    assert [unit.pass_number for unit in set_job("lapwing", typed, twice).answer.units] == [1, 2]
    wrong = JobAsked(passes=((("9", "red"),),))
    assert refused("lapwing", typed, wrong) == {"setup-ink-not-in-work", "setup-ink-left-out"}
    assert refused("lapwing", typed, JobAsked(passes=((("9", "black"),),))) == {"unit-not-found"}


@pytest.mark.parametrize(
    ("asked", "slugs"),
    [
        (JobAsked(aim_um=1.0, density=1.4, constants=(1.9, 1.4)), {"setup-two-aims"}),
        (JobAsked(density=1.4), {"setup-density-without-constants"}),
        (JobAsked(density=2.4, constants=(1.9, 1.4)), {"setup-density-beyond"}),
        (JobAsked(run=0), {"setup-number-out-of-range"}),
        (JobAsked(sweep=0.0), {"setup-no-sweep"}),  # it ended in a division by zero
        (JobAsked(aim_um=float("nan")), {"setup-number-out-of-range"}),
        (JobAsked(tau=0.0, least_fill_kg=-1.0), {"setup-number-out-of-range"}),
    ],
)
def test_what_cannot_be_asked(asked: JobAsked, slugs: set[str]) -> None:
    assert refused("dipper", WORK, asked) == slugs


def test_nothing_is_printed_by_an_empty_plate() -> None:
    assert refused("dipper", WorkAsked(what=("8x0",)), JobAsked()) == {"film-nothing-printed"}


def test_zones_without_image_have_shut_keys_and_no_print() -> None:
    found = set_job("dipper", WorkAsked(what=("0 0 20 20 20 20 0 0",)), JobAsked())
    keys = found.answer.units[0].keys
    for zone in (0, 1, 6, 7):
        assert (keys[zone].opening, keys[zone].print_um, keys[zone].reached) == (0.0, None, True)
    assert all(keys[zone].opening > 0 for zone in (2, 3, 4, 5))
