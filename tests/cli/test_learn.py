"""`filmsplit press learn`: what was used, what was left out and why, and numbers that follow the log."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from cli.terminal import Ran, run
from filmsplit.actions.find import find_press
from filmsplit.actions.job_train import train_of
from filmsplit.actions.jobs import Told, checked
from filmsplit.actions.learning import Choice, learned_of
from filmsplit.ink.density import solid_density
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.keys import films_per_opening
from filmsplit.simulation.settle import settle

PLATES = ((12, 16, 20, 22, 22, 20, 16, 12), (30, 28, 25, 20, 18, 15, 15, 15), (10, 10, 12, 15, 20, 25, 28, 25))
KEYS = ((6, 7, 7, 8, 8, 7, 7, 6), (9, 9, 8, 7, 6, 6, 6, 6), (5, 5, 5, 6, 7, 8, 9, 9))
SWEEPS = (4, 3, 5)
DAY = date(2030, 5, 1)
GAIN = 0.8
"""Every key of the press that is logged here gives four fifths of what its file says."""


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


def _printed(number: int) -> list[float]:
    """Densities of the settled print of a press with weak keys."""
    told = Told(keys=tuple(map(float, KEYS[number])), coverage_percent=tuple(map(float, PLATES[number])))
    job = JobRecord(press="", unit="", title="x", printed_on=DAY, sweep=float(SWEEPS[number]))
    found = checked("dipper", job, told)
    zoned = train_of(found.press, found.unit, found.job)
    blade = films_per_opening(np.full(8, GAIN * 3.5), coupling=0.08)
    solution = settle(zoned.train, zoned.keyed(blade @ np.array(KEYS[number])), accuracy=1e-4, throw=True)
    return [float(each) for each in solid_density(zoned.prints_um(solution), saturation=2.0, rate=1.1)]


@pytest.fixture(scope="module")
def printed() -> list[list[float]]:
    return [_printed(number) for number in range(len(PLATES))]


def log(capsys: pytest.CaptureFixture[str], number: int, densities: list[float], *more: str) -> str:
    lists = {"keys": KEYS[number], "coverage": PLATES[number], "densities": [f"{each:.3f}" for each in densities]}
    options = [word for name, values in lists.items() for word in (f"--{name}", ",".join(map(str, values)))]
    constants = ["--saturation", "2", "--rate", "1.1", "--sweep", str(SWEEPS[number])]
    ran = run(capsys, "job", "log", "dipper", f"Job {number}", *options, *constants, *more)
    assert ran.code == 0, ran.err
    return ran.out.split(":", maxsplit=1)[0].rsplit(maxsplit=1)[-1]


def learn(capsys: pytest.CaptureFixture[str], *more: str) -> Any:
    ran: Ran = run(capsys, "press", "learn", "dipper", "--unit", "A", "--json", *more)
    assert ran.code == 0, ran.err
    found = json.loads(ran.out)
    assert found["filmsplit"] == "learned 1"
    return found["units"][0]


def test_the_mean_of_the_keys_is_learned(capsys: pytest.CaptureFixture[str], printed: list[list[float]]) -> None:
    """0.8 of the file is the truth here, by construction; three jobs know it within 5 % and say so: 80 % intervals of
    eight keys hold it in most."""
    for number, densities in enumerate(printed):
        log(capsys, number, densities, "--on", f"2030-05-0{number + 1}")
    found = learn(capsys)["learned"]
    assert found["jobs"] == 3
    assert found["press_gain"]["value"] == pytest.approx(GAIN, rel=0.05)
    gains = [key["gain_um"] for key in found["keys"]]
    assert np.mean([each["value"] for each in gains]) == pytest.approx(GAIN * 3.5, rel=0.05)
    assert sum(each["low"] <= GAIN * 3.5 <= each["high"] for each in gains) >= 5
    assert found["split"]["low"] <= 0.5 <= found["split"]["high"]
    page = run(capsys, "press", "learn", "dipper", "--unit", "A").out
    assert "learned" in page
    assert "Learned from" in page


def test_what_was_left_out_is_named_with_its_reason(
    capsys: pytest.CaptureFixture[str], printed: list[list[float]]
) -> None:
    said = ["--status", "E", "--polarised"]
    good = [log(capsys, number, printed[number], *said) for number in (0, 1)]
    wrong = log(capsys, 2, printed[2], "--status", "T", "--polarised")
    bare = run(capsys, "job", "log", "dipper", "Bare", "--sweep", "4").out.split(":")[0].rsplit(maxsplit=1)[-1]
    early = log(capsys, 0, printed[0], "--read-sheet", "30", *said)
    beyond = log(capsys, 0, [2.3, *printed[0][1:]], *said)
    found = {job["code"]: job["left_out"] and job["left_out"]["slug"] for job in learn(capsys)["jobs"]}
    assert found == {
        **dict.fromkeys(good),
        wrong: "job-read-otherwise",
        bare: "job-lacks",
        early: "job-no-ok-sheet",
        beyond: "setup-reading-beyond",
    }
    assert bare in run(capsys, "press", "learn", "dipper", "--unit", "A").out
    other = {job["code"]: job["left_out"] for job in learn(capsys, "--status", "T")["jobs"]}
    assert other[wrong] is None
    assert other[good[0]]["slug"] == "job-read-otherwise"


def test_nothing_on_record_teaches_nothing_and_makes_no_file(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    found = learn(capsys)
    assert found["learned"] is None
    assert [note["slug"] for note in found["notes"]] == ["press-nothing-learned"]
    assert not records.exists()


def test_a_job_can_be_kept_out(capsys: pytest.CaptureFixture[str], printed: list[list[float]], records: Path) -> None:
    first, second = (log(capsys, number, printed[number]) for number in (0, 1))
    press = find_press("dipper").press
    found = learned_of(press, press.unit("A"), records, choice=Choice(but=first))
    assert [job.code for job in found.used] == [second]
    assert [job.code for job in learned_of(press, press.unit("A"), records, choice=Choice(most=1)).jobs] == [second]
