"""`filmsplit job`: what is told goes on record whole, or nothing does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from filmsplit.cli.job_commands import job
from filmsplit.messages import Refusal

TEN = ",".join(["1.5"] * 10)


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


def ran(*arguments: str) -> str:
    result = CliRunner().invoke(job, list(arguments), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def refused(*arguments: str) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        CliRunner().invoke(job, list(arguments), catch_exceptions=False)
    return [problem.slug for problem in refusal.value.problems]


def shown(code: str) -> Any:
    return json.loads(ran("show", code, "--json"))["job"]


def code_in(output: str) -> str:
    return output.split(":", maxsplit=1)[0].rsplit(maxsplit=1)[-1]


def test_a_job_goes_on_record_and_comes_back() -> None:
    code = code_in(ran("log", "heron", "Poster", "--keys", TEN, "--sweep", "4", "--on", "2030-05-02", "--ink", "black"))
    assert "Poster" in ran("find", "poster", "BLACK")
    assert "No such job" in ran("find", "poster", "blue")
    found = shown(code.lower())
    assert (found["press"], found["unit"], found["printed_on"], found["sweep"]) == ("heron", "A", "2030-05-02", 4.0)
    assert [zone["key"] for zone in found["zones"]] == [1.5] * 10


def test_densities_of_a_file_keep_how_they_were_measured(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.txt"
    sheet.write_text(
        'ISO28178\nPOLARIZATION "NO"\nSAMPLE_BACKING "white"\nBEGIN_DATA_FORMAT\nSAMPLE_ID D_VIS\nEND_DATA_FORMAT\n'
        "BEGIN_DATA\n1 1.42\n2 1.40\nEND_DATA\n",
        encoding="utf-8",
    )
    code = code_in(ran("log", "heron", "Poster", "--readings", str(sheet), "--status", "E", "--polarised"))
    readings = shown(code)["readings"]
    assert [reading["density"] for reading in readings] == [1.42, 1.40]
    # The file knows better than the person; what it does not say the person may.
    assert {(r["polarised"], r["backing"], r["status"]) for r in readings} == {(False, "white", "E")}


def test_every_slip_is_named_at_once_and_nothing_is_written(records: Path) -> None:
    slips = ["--keys", "1,2", "--coverage", ",".join(["101"] * 10), "--sweep", "99", "--sheets", "-3", "--status", "Q"]
    found = refused("log", "heron", "Poster", *slips)
    assert sorted(set(found)) == ["job-out-of-range", "job-status-unknown", "job-zones-count"]
    assert not records.exists()


@pytest.mark.parametrize(
    ("arguments", "slug"),
    [
        (("log", "heron", "X", "--keys", "1,b"), "job-list-not-numbers"),
        (("log", "heron", "X", "--keys", ",".join(["nan"] * 10)), "job-out-of-range"),
        (("log", "heron", "X", "--on", "2030-02-30"), "job-day-unknown"),
        (("log", "heron", "X", "--unit", "Q"), "unit-not-found"),
        (("show", "AAAA-AAAA"), "job-code-mistyped"),
        (("show", "0000-0000"), "job-not-found"),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[str, ...], slug: str, records: Path) -> None:
    assert set(refused(*arguments)) == {slug}
    assert not records.exists()


def test_looking_makes_no_file(records: Path) -> None:
    assert "No such job" in ran("find", "poster")
    assert not records.exists()
