"""From the set-up sheet to the record: the code on paper leads to the plan, and the job logged takes both over."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.records.jobs import job_of
from filmsplit.records.plans import plan_of
from filmsplit.records.store import Store
from reports.pages import pages

Capture = pytest.CaptureFixture[str]
ZONES = "4 12 16 20 22 16 10 6"


def test_the_code_on_paper_leads_to_plan_and_job(capsys: Capture, tmp_path: Path) -> None:
    records, out = tmp_path / "shop.records", tmp_path / "out"
    told = ("--title", "Form", "--stock", "offset 90", "--run", "900", "--constants", "1.9,1.4", "--density", "1.4")
    ran = run(capsys, "setup", "dipper", ZONES, *told, "--paper", str(out), "--records", str(records), "--json")
    assert ran.code == 0, ran.err
    keys = json.loads(ran.out)["units"][0]["keys"]
    code = next(word for word in ran.err.split() if len(word) == 9 and word[4] == "-")
    for name in ("setup", "keys"):
        text = " ".join(page.text for page in pages((out / f"dipper-form-{name}.pdf").read_bytes()))
        assert code in text
    densities = ",".join(["1.38"] * 8)
    log = ("job", "log", "dipper", "--plan", code, "--densities", densities, "--status", "E")
    done = run(capsys, *log, "--as-planned", "--water", "40", "--records", str(records))
    assert done.code == 0, done.err
    assert code in done.out
    with Store.at(records).read() as connection:
        job, plan = job_of(connection, code), plan_of(connection, code)
    assert job is not None
    assert plan is not None
    assert (job.title, job.stock, job.aim_density, job.saturation) == ("Form", "offset 90", 1.4, 1.9)
    assert job.rate_per_um == pytest.approx(1.4 * 1.05)  # per g/m2, and 1 um of this ink weighs 1.05 g/m2
    assert [zone.key for zone in job.zones] == [key["reading"] for key in keys]
    assert [zone.coverage for zone in job.zones] == pytest.approx([key["coverage"] for key in keys])
    assert job.sweep == plan.sweep
    assert job.invented
    again = run(capsys, *log, "--records", str(records))
    assert again.code == 2
    assert "job-plan-logged" in again.err


def test_keys_are_the_plans_only_where_somebody_says_so(capsys: Capture, tmp_path: Path) -> None:
    records = tmp_path / "shop.records"
    ran = run(
        capsys, "setup", "dipper", ZONES, "--paper", str(tmp_path / "out"), "--title", "A", "--records", str(records)
    )
    code = next(word for word in ran.err.split() if len(word) == 9 and word[4] == "-")
    log = ("job", "log", "dipper", "Mine", "--plan", code, "--records", str(records))
    assert run(capsys, *log).code == 0
    with Store.at(records).read() as connection:
        job = job_of(connection, code)
    assert job is not None
    assert job.title == "Mine"
    assert job.sweep is None
    assert {zone.key for zone in job.zones} == {None}


def test_nothing_goes_on_record_unasked(capsys: Capture, tmp_path: Path) -> None:
    records = tmp_path / "shop.records"
    assert run(capsys, "setup", "dipper", ZONES, "--records", str(records)).code == 0
    paper = ("--paper", str(tmp_path / "out"), "--unrecorded")
    assert run(capsys, "setup", "dipper", ZONES, *paper, "--records", str(records)).code == 0
    assert not records.exists()


def test_codes_that_lead_nowhere_and_jobs_without_a_title(capsys: Capture, tmp_path: Path) -> None:
    records = ("--records", str(tmp_path / "shop.records"))
    assert "job-code-mistyped" in run(capsys, "job", "log", "dipper", "--plan", "ABCD", *records).err
    assert "job-untitled" in run(capsys, "job", "log", "dipper", *records).err
