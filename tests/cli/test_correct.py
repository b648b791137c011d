"""`filmsplit job correct`: one sheet, the moves in the press's own readings, and nothing where a sheet cannot tell."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import run
from filmsplit.library.workshop import demo_path

COVERAGE = ["--coverage", "12,16,20,22,22,20,16,12"]
KEYS = ["--keys", "6,7,7.5,8,8,7.5,7,6"]
PLATE = [*COVERAGE, *KEYS, "--sweep", "4"]
ON_AIM = ",".join(["1.4"] * 8)
AIM = ["--aim-density", "1.4"]
ODD = "1.2,1.3,1.45,1.41,1.39,-,1.5,1.6"

TURNS = ["--coverage", "10,10,12,15,20,20,15,12,10,10", "--keys", "1,1,1.25,1.5,1.6,1.5,1.5,1.25,1,1", "--sweep", "5"]


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


@pytest.fixture
def answer(capsys: pytest.CaptureFixture[str]) -> Any:
    def ask(*arguments: str) -> dict[str, Any]:
        ran = run(capsys, "job", "correct", *arguments, "--json")
        assert ran.code == 0, ran.err
        found = json.loads(ran.out)
        assert found["filmsplit"] == "correction 1"
        return found  # type: ignore[no-any-return]

    return ask


@pytest.fixture
def logged(capsys: pytest.CaptureFixture[str]) -> Any:
    def log(*arguments: str) -> str:
        ran = run(capsys, "job", "log", "dipper", "Letterhead", *arguments)
        assert ran.code == 0, ran.err
        return ran.out.split(":", maxsplit=1)[0].rsplit(maxsplit=1)[-1]

    return log


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    ran = run(capsys, "job", "correct", *arguments)
    assert ran.code == 2
    return ran.err


def test_moves_are_in_the_divisions_of_the_press_and_none_inside_the_error(answer: Any) -> None:
    """Half divisions can be set (common practice); zones 4 and 5 are within 0.02 of the aim, 6 was not read."""
    found = answer("dipper", *PLATE, *AIM, "--densities", ODD)
    moves = {key["zone"]: key["move"] for key in found["keys"]}
    assert [zone for zone, move in moves.items() if move] == [1, 2, 3, 7, 8]
    assert all(moves[zone] > 0 for zone in (1, 2))
    assert all(moves[zone] < 0 for zone in (3, 7, 8))
    assert all((2 * key["then"]).is_integer() for key in found["keys"] if key["move"])
    assert found["keys"][5]["density"] is None
    assert 50 < found["look_again"] < 1000
    assert all(key["expected_density"] == pytest.approx(1.4, abs=0.05) for key in found["keys"] if key["move"])


def test_nothing_moves_where_all_is_well(answer: Any, capsys: pytest.CaptureFixture[str]) -> None:
    found = answer("dipper", *PLATE, *AIM, "--densities", ON_AIM)
    assert not any(key["move"] for key in found["keys"])
    assert found["look_again"] == 1
    assert "setup-nothing-to-move" in {note["slug"] for note in found["notes"]}
    assert "no key moves" in run(capsys, "job", "correct", "dipper", *PLATE, *AIM, "--densities", ON_AIM).out


def test_a_larger_reading_error_moves_less(answer: Any) -> None:
    """0.05 off is inside an error of 0.06 and outside one of 0.02; of the others a neighbour's key may do."""
    found = answer("dipper", *PLATE, *AIM, "--densities", ODD, "--reading-error", "0.06")
    moved = {key["zone"] for key in found["keys"] if key["move"]}
    assert {1, 8} <= moved <= {1, 2, 7, 8}


def test_a_job_on_record_needs_its_code_only(answer: Any, logged: Any) -> None:
    told = answer("dipper", *PLATE, *AIM, "--densities", ODD)
    found = answer(logged(*PLATE, *AIM, "--densities", ODD))
    assert found["keys"] == told["keys"]
    assert found["title"] == "Letterhead"


def test_what_is_told_goes_before_the_record(answer: Any, logged: Any) -> None:
    code = logged(*PLATE, *AIM, "--densities", ODD)
    found = answer(code, "--densities", ON_AIM, "--keys", "5,7,7.5,8,8,7.5,7,5", "--aim-density", "1.39")
    assert found["aim_density"] == 1.39
    assert [key["now"] for key in found["keys"]] == [5, 7, 7.5, 8, 8, 7.5, 7, 5]
    assert not any(key["move"] for key in found["keys"])


def test_unnumbered_keys_move_by_eighths(capsys: pytest.CaptureFixture[str], answer: Any) -> None:
    sheet = ["--densities", "1.2,1.3,1.45,1.4,1.39,1.4,1.5,1.6,1.3,1.2", *AIM]
    found = answer("heron", *TURNS, *sheet)
    assert all((8 * key["then"]).is_integer() for key in found["keys"] if key["move"])
    ran = run(capsys, "job", "correct", "heron", *TURNS, *sheet)
    assert "/8" in ran.out
    assert "from the closed side" in ran.out  # from which side they are set
    assert "setup-gain-assumed" in ran.out + ran.err


def test_a_sheet_read_otherwise_than_the_aim_is_refused_unless_converted(
    capsys: pytest.CaptureFixture[str], answer: Any
) -> None:
    sheet = ["dipper", *PLATE, *AIM, "--densities", ON_AIM, "--status", "E", "--aim-status", "T"]
    assert "job-density-way" in refused(capsys, *sheet)
    polarised = ["dipper", *PLATE, *AIM, "--densities", ON_AIM, "--polarised", "--aim-unpolarised"]
    assert "job-density-way" in refused(capsys, *polarised)
    backed = ["dipper", *PLATE, *AIM, "--densities", ON_AIM, "--backing", "white", "--aim-backing", "black"]
    assert "job-density-way" in refused(capsys, *backed)
    found = answer(*sheet, "--converted-by", "0.1,0.9")
    assert found["keys"][0]["density"] == pytest.approx(0.1 + 0.9 * 1.4)


def test_a_way_nobody_said_is_told(answer: Any) -> None:
    said = ["--status", "E", "--aim-status", "E", "--polarised", "--aim-polarised"]
    found = answer("dipper", *PLATE, *AIM, "--densities", ON_AIM, *said)
    (note,) = [note for note in found["notes"] if note["slug"] == "job-density-way-unsaid"]
    assert "backing" in note["what"]
    assert "status" not in note["what"]


def test_an_early_sheet_is_told_and_the_ok_sheet_is_taken_first(answer: Any) -> None:
    found = answer("dipper", *PLATE, *AIM, "--densities", ODD, "--read-sheet", "20")
    assert found["sheet"] == 20
    assert "job-sheet-early" in {note["slug"] for note in found["notes"]}


def test_readings_come_from_a_file_too(tmp_path: Path, answer: Any) -> None:
    file = tmp_path / "sheet.csv"
    rows = [f"{zone},{density}" for zone, density in enumerate(ODD.split(","), start=1) if density != "-"]
    file.write_text("\n".join(["zone,density", *rows]), encoding="utf-8")
    assert answer("dipper", *PLATE, *AIM, "--readings", str(file)) == answer("dipper", *PLATE, *AIM, "--densities", ODD)


@pytest.mark.parametrize(
    ("arguments", "slug"),
    [
        (("dipper", *PLATE, "--densities", ON_AIM), "job-lacks"),
        (("dipper", *COVERAGE, "--sweep", "4", *AIM, "--densities", ON_AIM), "job-lacks"),
        (("dipper", *COVERAGE, *KEYS, *AIM, "--densities", ON_AIM), "job-lacks"),
        (("dipper", *PLATE, *AIM), "job-sheet-unread"),
        (("dipper", *PLATE, *AIM, "--densities", "2.1" + ",1.4" * 7), "setup-reading-beyond"),
        (("dipper", *PLATE, *AIM, "--densities", "1.4,x"), "job-list-not-numbers"),
        (("dipper", *PLATE, *AIM, "--densities", ON_AIM, "--sheet", "320"), "job-sheet-size"),
        (("dipper", *PLATE, "--aim-density", "2.5", "--densities", ON_AIM), "setup-density-beyond"),
        (("AAAA-AAAA",), "job-code-mistyped"),
        (("herron", *PLATE), "press-not-found-near"),
    ],
)
def test_what_cannot_be_is_refused(
    arguments: tuple[str, ...], slug: str, capsys: pytest.CaptureFixture[str], records: Path
) -> None:
    assert slug in refused(capsys, *arguments)
    assert not records.exists()


def test_a_job_of_another_press_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], logged: Any, answer: Any
) -> None:
    code = logged(*PLATE, *AIM, "--densities", ON_AIM)
    own = tmp_path / "own.yaml"
    text = demo_path("dipper").read_text(encoding="utf-8")
    own.write_text(text, encoding="utf-8")
    assert answer(code, "--press", str(own))["press"] == "dipper"
    own.write_text(text.replace("id: dipper", "id: gannet", 1), encoding="utf-8")
    assert "job-other-press" in refused(capsys, code, "--press", str(own))
