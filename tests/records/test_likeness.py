"""Jobs like another, ranked: by construction it is known which is nearer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.actions.last_time import last_time
from filmsplit.records.jobs import JobRecord, ZoneRecord, log_job
from filmsplit.records.likeness import alike
from filmsplit.records.store import Store

PLATE = (0.1, 0.2, 0.3)


def job(title: str, plate: tuple[float, ...] = PLATE, **facts: object) -> JobRecord:
    zones = tuple(ZoneRecord(zone=zone, coverage=each, key=2.0) for zone, each in enumerate(plate, start=1))
    whole = JobRecord(press="heron", unit="A", title=title, printed_on=date(2030, 5, 1), zones=zones)
    return replace(whole, **facts)


def test_the_nearer_plate_comes_first_and_a_far_one_not_at_all() -> None:
    jobs = [job("far", (0.9, 0.9, 0.9)), job("near", (0.1, 0.2, 0.32)), job("same"), job("other zones", (0.1, 0.2))]
    found = alike(jobs, coverage=PLATE)
    assert [each.job.title for each in found] == ["same", "near"]
    assert found[0].likeness == 1.0
    assert found[0].coverage_off == 0.0
    assert found[1].coverage_off == pytest.approx(0.02 / 3**0.5)  # root mean square, by hand


def test_stock_and_ink_tell_equal_plates_apart_whatever_their_spelling() -> None:
    jobs = [job("bare"), job("ink", ink="Black"), job("both", ink="black", stock="Offset  80")]
    found = alike(jobs, coverage=PLATE, ink="BLACK", stock="offset 80")
    assert [each.job.title for each in found] == ["both", "ink", "bare"]
    assert (found[0].same_stock, found[2].same_stock) == (True, None)


def test_what_was_not_asked_counts_for_nothing() -> None:
    assert [each.likeness for each in alike([job("a", ink="black")], ink="black")] == [1.0]
    assert alike([job("a", ink="black")]) == ()


@pytest.fixture
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


def put(records: Path, *jobs: JobRecord) -> list[str]:
    store = Store.at(records)
    codes = []
    for each in jobs:
        with store.write("job log") as writer:
            codes.append(log_job(writer, each))
    store.close()
    return codes


def test_last_time_is_of_this_unit_only(records: Path) -> None:
    put(records, job("here"), job("there", unit="B"), job("elsewhere", press="dipper"))
    assert [each.job.title for each in last_time(records, press="heron", unit="A", coverage=PLATE)] == ["here"]


def test_a_person_finds_it_with_the_reason(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, _, bare = put(
        records,
        job("Poster", stock="coated 135"),
        job("Reprint", stock="coated 135", sweep=4.0, water=5.5, sheets_to_ok=60),
        JobRecord(press="heron", unit="A", title="Bare", printed_on=date(2030, 5, 1)),
    )
    shown = run(capsys, "job", "find", "--like", first).out
    assert "Reprint" in shown
    assert "same stock" in shown
    assert "Poster" not in shown
    assert "Bare" not in shown
    asked = run(capsys, "job", "find", "--press", "heron", "--coverage", "10,20,30")
    assert "Reprint" in asked.out
    assert "job-nothing-to-compare" in run(capsys, "job", "find", "--like", bare).err


def test_looking_makes_no_file(records: Path) -> None:
    assert last_time(records, press="heron", unit="A", coverage=PLATE) == ()
    assert not records.exists()
