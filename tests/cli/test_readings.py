"""`filmsplit reading` and `filmsplit instrument`: what is doubtful is kept and said, what cannot be is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import Ran, run


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


Capture = pytest.CaptureFixture[str]


def tried(capsys: Capture, line: str) -> Ran:
    return run(capsys, *line.split())


def ran(capsys: Capture, line: str) -> str:
    done = tried(capsys, line)
    assert done.code == 0, done.err
    return done.out


def slugs(done: Ran) -> set[str]:
    """The slugs that a person sees, in brackets below each message."""
    lines = (line.strip() for line in (done.out + done.err).splitlines())
    return {line[1:-1] for line in lines if line.startswith("(") and line.endswith(")") and "-" in line}


def entries(capsys: Capture, where: str = "") -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(ran(capsys, f"reading list {where} --json"))["entries"]
    return found


@pytest.fixture
def shop(capsys: Capture) -> None:
    """The Heron's rollers on the register, and a durometer that was 0.5 too high."""
    ran(capsys, "roller register heron --on 2025-01-02")
    ran(capsys, "instrument add D1 durometer --offset 0.5 --uncertainty 0.6 --due 2025-12-31 --on 2025-01-02")


ROUND = "--on 2025-03-01 --temperature 23 --by Kim"


@pytest.mark.usefixtures("shop")
def test_a_round_goes_on_record(capsys: Capture) -> None:
    said = ran(capsys, f"reading add hardness heron:F1 27 28 27 26 28 --with D1 --at middle {ROUND}")
    assert "26.5 ± 0.7 Shore A" in said
    assert "(" not in said.replace("(median; one standard deviation)", ""), "nothing is doubtful about it"
    ran(capsys, f"reading add stripe heron:plate/F1 3.5 3.6 3.4 3.3 3.5 {ROUND}")
    ran(capsys, f"reading add diameter heron:F1 53.9 53.95 54 {ROUND}")
    ran(capsys, "reading add key-zero heron -0.1 0 0 0 0 0 0 0 0 0.2 --on 2025-03-01")
    ran(capsys, "reading add grade heron:F1 swollen end --on 2025-03-01")
    ran(capsys, "reading add impressions heron 1250000 --on 2025-03-01")
    found = entries(capsys)
    assert [each["kind"] for each in found] == ["hardness", "stripe", "diameter", "key-zero", "grade", "impressions"]
    assert (found[1]["contact"], [point["place"] for point in found[1]["points"]][1]) == ("F1/plate", "operator-middle")
    assert [point["value"] for point in found[3]["points"]][::9] == [-0.1, 0.2]
    assert (found[4]["grade"], found[5]["impressions"]) == ("swollen end", 1250000)
    assert [each["kind"] for each in entries(capsys, "heron:F1")] == ["hardness", "stripe", "diameter", "grade"]
    assert [each["kind"] for each in entries(capsys, "heron:F1/plate")] == ["stripe"]
    assert "26.5 ± 0.7" in ran(capsys, "roller show heron:F1")


@pytest.mark.usefixtures("shop")
@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("hardness heron:F1 27 27 27 27 27", {"reading-temperature-missing", "reading-instrument-missing"}),
        ("hardness heron:F1 19 19 19 19 19 --with D1 --temperature 23", {"hardness-outside-scale"}),
        ("hardness heron:F1 91 91 91 91 91 --with D1 --temperature 23", {"hardness-outside-scale"}),
        ("hardness heron:F1 24 27 27 27 30 --with D1 --temperature 23", {"hardness-wide-spread"}),
        ("hardness heron:F1 27 27 --with D1 --temperature 23", {"hardness-few-readings"}),
        ("hardness heron:F1 27 27 27 27 27 --with D1 --temperature 30", {"hardness-off-room-temperature"}),
        (
            "hardness heron:R2 80 80 80 80 80 --with D1 --temperature 23",
            {"hardness-of-hard-cover", "hardness-thin-cover"},
        ),
        ("diameter heron:D1 65.9 65.9 69 --temperature 23", {"reading-instrument-missing", "diameter-far-off"}),
        ("run-out heron:F1 0.05", {"reading-instrument-missing"}),
        ("wash-up heron --product W1", set()),
    ],
)
def test_what_is_doubtful_is_kept_and_said(capsys: Capture, line: str, said: set[str]) -> None:
    done = tried(capsys, f"reading add {line} --on 2025-03-01")
    assert (done.code, slugs(done)) == (0, said)
    assert len(entries(capsys)) == 1


@pytest.mark.usefixtures("shop")
@pytest.mark.parametrize(("values", "reliable"), [("20 55 90", True), ("19.9 55 90", False), ("20 55 90.1", False)])
def test_hardness_outside_20_to_90_is_not_to_be_relied_on(capsys: Capture, values: str, reliable: bool) -> None:
    """ASTM D2240 and ISO 48-4: the type A gauge is meant for 20 to 90 (memory)."""
    ran(capsys, f"reading add hardness heron:F1 {values}")
    assert entries(capsys)[0]["reliable"] is reliable


@pytest.mark.usefixtures("shop")
def test_a_calibration_that_has_run_out_is_said_and_not_used(capsys: Capture) -> None:
    line = "reading add hardness heron:F1 27 27 27 27 27 --with D1 --temperature 23 --on"
    assert slugs(tried(capsys, f"{line} 2025-12-31")) == set()
    done = tried(capsys, f"{line} 2026-01-01")
    assert slugs(done) == {"instrument-calibration-overdue"}
    assert "27.0 ±" in done.out
    ran(capsys, "instrument add D2 durometer --on 2025-01-02")
    assert slugs(tried(capsys, f"{line} 2025-06-01 --with D2")) == {"instrument-not-calibrated"}


@pytest.mark.usefixtures("shop")
@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("hardnes heron:F1 27", {"reading-kind-unknown"}),
        ("hardness heron:F1 101", {"reading-out-of-range"}),
        ("hardness heron:F1 nan", {"reading-out-of-range"}),
        ("hardness heron:F1 27 x", {"reading-not-a-number"}),
        ("hardness heron:F1", {"reading-count"}),
        ("hardness heron:F1 27 --temperature 230", {"reading-out-of-range"}),
        ("hardness heron:F1 27 --at left", {"reading-place-unknown"}),
        ("hardness heron:F1 27 --with D7", {"instrument-not-found"}),
        ("diameter heron:F1 50 50 50 --with D1", {"instrument-wrong-unit"}),
        ("diameter heron:F1 50 50", {"reading-count"}),
        ("stripe heron:F1/D2 3 3 3", {"place-not-on-press"}),
        ("stripe heron:F1/plate 3 3 3 3", {"reading-count"}),
        ("stripe heron:F1/plate 3 -1 3", {"reading-out-of-range"}),
        ("stripe dipper:A.F1/D1 3 3 3", {"place-empty"}),
        ("stripe heron:F1 3 3 3", {"place-not-on-press"}),
        ("key-zero heron 0 0 0", {"job-zones-count"}),
        ("grade heron:F1 glassy", {"reading-grade-unknown"}),
        ("impressions heron many", {"reading-not-a-number"}),
        ("impressions heron", {"reading-counter-missing"}),
        ("wash-up heron 3", {"reading-takes-no-values"}),
        ("hardness heron:F1 27 --instead-of 7", {"reading-number-unknown"}),
        ("hardness heron:F1 27 --no-such", {"reading-not-a-number"}),
        ("hardness nobody 27", {"roller-not-found"}),
    ],
)
def test_what_cannot_be_is_refused(capsys: Capture, line: str, said: set[str]) -> None:
    done = tried(capsys, f"reading add {line} --on 2025-03-01")
    assert (done.code, slugs(done)) == (2, said)
    assert entries(capsys) == []


@pytest.mark.usefixtures("shop")
def test_a_reading_belongs_to_the_roller_that_was_there_that_day(capsys: Capture) -> None:
    ran(capsys, "roller add K1 --on 2025-01-02")
    ran(capsys, "roller move K1 heron:F1 --swap --on 2025-04-01")
    ran(capsys, "reading add run-out heron:F1 0.05 --on 2025-03-01")
    ran(capsys, "reading add run-out heron:F1 0.02 --on 2025-05-01")
    assert [each["points"][0]["value"] for each in entries(capsys, "heron-F1")] == [0.05]
    assert [each["points"][0]["value"] for each in entries(capsys, "K1")] == [0.02]
    assert "place-empty" in slugs(tried(capsys, "reading add run-out heron:F1 0.02 --on 2024-05-01"))


@pytest.mark.usefixtures("shop")
def test_an_entry_is_corrected_once_and_by_its_own_kind(capsys: Capture) -> None:
    ran(capsys, "reading add run-out heron:F1 0.5")
    done = tried(capsys, "reading add grade heron:F1 shiny --instead-of 1")
    assert slugs(done) == {"reading-of-other-kind"}
    ran(capsys, "reading add run-out heron:F1 0.05 --instead-of 1")
    again = tried(capsys, "reading add run-out heron:F1 0.06 --instead-of 1")
    assert slugs(again) == {"reading-replaced-already"}
    ran(capsys, "reading strike 2 --reason twice")
    assert entries(capsys) == []
    assert slugs(tried(capsys, "reading strike 2 --reason twice")) == {"reading-replaced-already"}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("add D1 hammer", {"instrument-kind-unknown"}),
        ("add D1 durometer --offset 0.5", {"calibration-impossible"}),
        ("add D1 durometer --offset nan --uncertainty -1", {"calibration-impossible"}),
        ("add D1 durometer --offset 0 --uncertainty 1 --due 2020-01-01", {"calibration-impossible"}),
        ("add D1 durometer --offset 0 --uncertainty 1 --due soon", {"day-unknown"}),
        ("calibrate D9 --offset 0 --uncertainty 1", {"instrument-not-found"}),
    ],
)
def test_instruments_that_cannot_be_are_refused(capsys: Capture, line: str, said: set[str]) -> None:
    done = tried(capsys, f"instrument {line}")
    assert (done.code, slugs(done)) == (2, said)


def test_two_instruments_do_not_share_a_name(capsys: Capture) -> None:
    ran(capsys, "instrument add D1 durometer")
    assert slugs(run(capsys, "instrument", "add", "d1", "durometer")) == {"instrument-name-taken"}
    ran(capsys, "instrument calibrate d1 --offset -1 --uncertainty 0.5 --on 2025-01-01")
    assert "-1 ± 0.5" in ran(capsys, "instrument list")


def test_looking_makes_no_file(capsys: Capture, records: Path) -> None:
    assert slugs(run(capsys, "reading", "list")) == {"records-not-there"}
    assert "No instrument" in ran(capsys, "instrument list")
    assert not records.exists()


# A round --------------------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("shop")
def test_a_sheet_is_filled_in_and_read_back(capsys: Capture, tmp_path: Path) -> None:
    """The sheet names every soft roller and every lasting contact of one; lines left empty stay out."""
    sheet = tmp_path / "round.csv"
    ran(capsys, f"reading sheet heron {sheet}")
    head, *lines = sheet.read_text(encoding="utf-8").splitlines()
    assert sum(line.startswith("hardness,heron:A.F1,") for line in lines) == 1
    assert not [line for line in lines if line.startswith(("hardness,heron:A.D1", "stripe,heron:A.DU/"))]
    assert sum(line.startswith("stripe,heron:A.F1/plate,") for line in lines) == 1
    filled_in = {"hardness,heron:A.F1,": "27 28 27 26 28", "stripe,heron:A.F1/plate,": "3.5 3.6 3.4"}
    for place, line in enumerate(lines):
        for start, values in filled_in.items():
            if line.startswith(start):
                lines[place] = line.replace(start, start + values, 1)
    sheet.write_text("\ufeff" + "\r\n".join([head, *lines]) + "\r\n", encoding="utf-8")
    ran(capsys, f"reading round {sheet} --on 2025-03-01")
    assert [(each["kind"], len(each["points"])) for each in entries(capsys)] == [("hardness", 5), ("stripe", 3)]
    assert slugs(tried(capsys, f"reading sheet heron {sheet}")) == {"file-in-the-way"}


@pytest.mark.usefixtures("shop")
def test_a_round_goes_on_record_whole_or_not_at_all(capsys: Capture, tmp_path: Path) -> None:
    sheet = tmp_path / "round.csv"
    lines = [
        "kind;where;values;temperature_c",
        "hardness;heron:F1;27 27;23",
        "hardness;heron:F9;27;23",
        "grade;heron:F1;shny;",
    ]
    sheet.write_text("\n".join(lines), encoding="utf-8")
    done = tried(capsys, f"reading round {sheet} --on 2025-03-01")
    assert slugs(done) == {"place-not-on-press", "reading-grade-unknown"}
    assert f"{sheet}:3:1" in done.err
    assert f"{sheet}:4:1" in done.err
    assert entries(capsys) == []


@pytest.mark.usefixtures("shop")
@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("", "round-columns"),
        ("kind,where\nhardness,heron:F1\n", "round-columns"),
        ("kind,where,values,colour\n", "round-columns"),
        ("kind,where,values\nhardness,heron:F1,\n", "round-empty"),
        ('kind,where,values\n"hardness,heron:F1\n', "round-not-a-table"),
        ("kind,where,values\nhardness,heron:F1,27 x\n", "reading-not-a-number"),
    ],
)
def test_what_is_no_round_is_refused(capsys: Capture, tmp_path: Path, text: str, slug: str) -> None:
    sheet = tmp_path / "round.csv"
    sheet.write_text(text, encoding="utf-8")
    assert slugs(tried(capsys, f"reading round {sheet}")) == {slug}


def test_a_wrong_calibration_is_taken_back(capsys: Capture) -> None:
    ran(capsys, "instrument add D1 durometer --offset 1 --uncertainty 0.5 --on 2025-01-01")
    ran(capsys, "instrument calibrate D1 --offset 9 --uncertainty 0.5 --on 2025-02-01")
    ran(capsys, "instrument take-back D1 --reason slip")
    assert "+1 ± 0.5" in ran(capsys, "instrument list")
    ran(capsys, "instrument take-back D1 --reason slip")
    assert slugs(tried(capsys, "instrument take-back D1 --reason slip")) == {"calibration-none-left"}
    assert slugs(tried(capsys, "instrument take-back D9 --reason slip")) == {"instrument-not-found"}
