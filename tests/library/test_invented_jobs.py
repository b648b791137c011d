"""The log of invented jobs: marked, whole, fitting its press, and such as that press could have printed.

What it is held to is the engine itself with the press as its file says; the bounds are those of the hidden press it was
made with (``tools/invent_jobs.py``): keys 20 % to either side, split 0.47, a form roller set light.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import sqlalchemy as sa

from cli.terminal import run
from filmsplit.actions.find import find_press
from filmsplit.actions.invented_log import put_on_record, record_of
from filmsplit.actions.job_train import keys_of, train_of
from filmsplit.actions.jobs import Told, checked, find, log
from filmsplit.ink.density import DensityCurve
from filmsplit.library.invented_jobs import InventedJob, invented_jobs
from filmsplit.messages import Refusal
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.aim import SolidAim, film_for
from filmsplit.setup.key_scale import key_scale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.limits import limits_on
from filmsplit.simulation.settle import settle

JOBS = invented_jobs()


def titles(jobs: tuple[JobRecord, ...]) -> Iterator[str]:
    return (job.title for job in jobs)


def test_every_job_says_that_it_is_invented() -> None:
    for job in JOBS:
        record = record_of(job)
        assert record.invented
        assert "invented" in record.title
        assert "INVENTED" in record.remarks


def test_the_log_is_one_press_over_some_weeks_and_one_job_came_again() -> None:
    assert len(JOBS) >= 8
    assert {(job.press, job.unit) for job in JOBS} == {("wagtail", "A")}
    assert all(before.printed_on < after.printed_on for before, after in pairwise(JOBS))
    assert any(one.coverage_percent == other.coverage_percent for one, other in pairwise(sorted(JOBS, key=_plate)))


def _plate(job: InventedJob) -> tuple[float, ...]:
    return job.coverage_percent


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.title)
def test_a_job_fits_its_press(job: InventedJob) -> None:
    """The same door as for jobs that somebody types; whole and half divisions only, as can be set by hand."""
    told = Told(keys=job.keys, coverage_percent=job.coverage_percent, densities=job.densities, status="E")
    fits = checked(job.press, record_of(job), told)
    assert fits.unit.id == job.unit
    assert all((2 * key).is_integer() for key in job.keys)
    along, across = job.sheet_mm
    assert along <= fits.press.sheet_length_mm
    assert across <= fits.press.sheet_width_mm
    assert 0 < job.sheets_to_ok < job.waste_sheets


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.title)
def test_zones_without_image_have_no_density_and_all_others_have(job: InventedJob) -> None:
    for percent, first, last in zip(job.coverage_percent, job.first_densities, job.densities, strict=True):
        assert (percent == 0) == (first is None) == (last is None)


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.title)
def test_the_correction_brought_the_sheet_nearer_to_the_aim(job: InventedJob) -> None:
    first, last = ([d for d in densities if d is not None] for densities in (job.first_densities, job.densities))
    assert max(abs(d - job.aim_density) for d in last) <= max(abs(d - job.aim_density) for d in first)
    assert np.mean([abs(d - job.aim_density) for d in last]) < 0.06


@pytest.mark.parametrize("number", [0, 5])
def test_the_press_of_the_file_would_print_nearly_that(number: int) -> None:
    """Film by zone from the logged keys and sweep, over the film that the logged density stands for."""
    job, record = JOBS[number], record_of(JOBS[number])
    press = find_press(job.press).press
    unit = press.unit(job.unit)
    assert unit.fountain is not None
    zoned = train_of(press, unit, record)
    scale = key_scale(unit.fountain)
    openings = (keys_of(record) - np.array(scale.zeros)) / scale.ranges
    films = films_per_opening(scale.full_um, coupling=limits_on(unit.fountain.blade).coupling) @ openings
    printed = zoned.prints_um(settle(zoned.train, zoned.keyed(films), throw=True))
    curve = DensityCurve(job.saturation, job.rate_per_um)
    ratios = np.array(
        [
            printed[zone] / film_for(SolidAim(density=density, curve=curve))
            for zone, density in enumerate(job.densities)
            if density is not None
        ]
    )
    assert 0.75 < ratios.min() <= ratios.max() < 1.6
    assert 1.0 < ratios.mean() < 1.35, "the hidden press prints less than its file says"
    assert ratios.std() > 0.02, "and its keys differ: something is there to be learned"


def test_on_record_they_are_found_marked_and_in_one_run(tmp_path: Path) -> None:
    records = tmp_path / "invented.db"
    put_on_record(records)
    found = find(records, words=("invented",))
    assert sorted(titles(found)) == sorted(job.title for job in JOBS)
    assert all(job.invented for job in found)
    with sa.create_engine(f"sqlite:///{records}").connect() as connection:
        assert connection.execute(sa.text("select count(*) from runs")).scalar_one() == 1


def test_a_file_with_jobs_is_left_as_it_is(tmp_path: Path) -> None:
    records = tmp_path / "mine.db"
    log("heron", JobRecord(press="", unit="", title="Mine", printed_on=date(2031, 1, 2)), told=Told(), records=records)
    with pytest.raises(Refusal) as refusal:
        put_on_record(records)
    assert [problem.slug for problem in refusal.value.problems] == ["demo-records-in-use"]
    assert list(titles(find(records))) == ["Mine"]


def test_twice_is_once(tmp_path: Path) -> None:
    records = tmp_path / "invented.db"
    put_on_record(records)
    with pytest.raises(Refusal):
        put_on_record(records)
    assert len(find(records)) == len(JOBS)


def test_the_demo_puts_them_only_where_it_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "own" / "records.db"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(own))
    asked = tmp_path / "asked.db"
    ran = run(capsys, "demo", "--folder", str(tmp_path / "made"), "--records", str(asked))
    assert ran.code == 0
    assert "8 invented jobs" in ran.out
    assert asked.exists()
    assert not own.exists()
