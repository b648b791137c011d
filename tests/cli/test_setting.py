"""`filmsplit setting` from an empty shop to a press that is set. Expectations by the plan of docs/setting.md."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from cli.terminal import Ran, run

READ = (("hardness", ("27",) * 5), ("run-out", ("0.02",) * 3))
DIAMETERS = {"F1": "54", "F2": "50", "S1": "48"}


@pytest.fixture
def heron(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Path:
    """Records of a Heron whose first form roller was read and is fit."""
    records = tmp_path / "shop.records"
    run(capsys, "roller", "register", "heron", "--records", str(records), "--on", "2026-03-02")
    for kind, values in (*READ, ("diameter", (DIAMETERS["F1"],) * 3)):
        done = run(
            capsys, "reading", "add", kind, "heron:F1", *values, "--temperature", "23", "--records", str(records),
            "--on", "2026-03-02",
        )  # fmt: skip
        assert done.code == 0, done.err
    return records


def stripe(capsys: pytest.CaptureFixture[str], records: Path, contact: str, *widths: str, day: str) -> None:
    done = run(
        capsys, "reading", "add", "stripe", f"heron:{contact}", *widths, "--temperature", "24", "--records",
        str(records), "--on", day,
    )  # fmt: skip
    assert done.code == 0, done.err


def setting(capsys: pytest.CaptureFixture[str], records: Path, *more: str, day: str = "2026-03-03") -> Ran:
    return run(capsys, "setting", "heron", "--records", str(records), "--on", day, *more)


def test_without_records_there_is_an_order_and_nothing_to_turn(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    told = setting(capsys, tmp_path / "none.records")
    assert told.out.index("S1/D2") < told.out.index("F1/D1") < told.out.index("F1/plate")
    assert "no roller is on record there" in told.out
    assert "tighten" not in told.out
    assert not (tmp_path / "none.records").exists()


def test_a_roller_that_was_not_read_is_withheld_whatever_its_stripe(
    capsys: pytest.CaptureFixture[str], heron: Path
) -> None:
    stripe(capsys, heron, "F2/D1", "3.0", "3.0", "5.0", day="2026-03-02")
    told = setting(capsys, heron, "--contact", "F2/D1")
    assert "hardness, diameters, run-out" in told.out
    assert "Operator's side" not in told.out


def test_a_taper_is_told_with_what_to_turn_at_each_end(capsys: pytest.CaptureFixture[str], heron: Path) -> None:
    stripe(capsys, heron, "F1/D1", "3.8", "4.2", "4.6", day="2026-03-02")
    told = setting(capsys, heron, "--contact", "F1/D1")
    assert "Tapered: 3.8 / 4.6 mm" in told.out
    assert "Operator's side: ease" in told.out
    answer = json.loads(setting(capsys, heron, "--contact", "F1/D1", "--json").out)
    (contact,) = answer["setting"]["units"][0]["groups"][0]["advice"]["contacts"]
    operator, gear = contact["turns"]
    assert gear["ease_deg"] - gear["tighten_deg"] > operator["ease_deg"] - operator["tighten_deg"] > 0


def test_turns_go_on_record_and_ask_for_a_reading(capsys: pytest.CaptureFixture[str], heron: Path) -> None:
    stripe(capsys, heron, "F1/D1", "3.8", "4.2", "4.6", day="2026-03-02")
    assert setting(capsys, heron, "--turned").code == 2
    done = setting(capsys, heron, "--contact", "F1/D1", "--turned", "--by", "Kim")
    assert "On record: 1 contacts turned" in done.out
    after = setting(capsys, heron, "--contact", "F1/D1")
    assert "was turned and has not been read since" in after.out
    assert "Operator's side" not in after.out
    stripe(capsys, heron, "F1/D1", "3.3", "3.3", "3.4", day="2026-03-03")
    assert "Even and right" in setting(capsys, heron, "--contact", "F1/D1").out


def test_a_typed_stripe_counts_and_is_not_recorded(capsys: pytest.CaptureFixture[str], heron: Path) -> None:
    told = setting(capsys, heron, "--contact", "F1/D1", "--stripe", "F1/D1=3.8/4.2/4.6@24")
    assert "Tapered" in told.out
    assert "Tapered" not in setting(capsys, heron, "--contact", "F1/D1").out


def test_an_old_reading_is_not_turned_by_without_a_word(capsys: pytest.CaptureFixture[str], heron: Path) -> None:
    stripe(capsys, heron, "F1/D1", "3.8", "4.2", "4.6", day="2026-03-02")
    assert "more than 7 days ago" in setting(capsys, heron, "--contact", "F1/D1", day="2026-03-12").out


@pytest.mark.parametrize(
    ("more", "slug"),
    [
        (("--contact", "F1/XX"), "setting-contact-unknown"),
        (("--stripe", "F1/D1=3"), "setting-stripe-mistyped"),
        (("--stripe", "F1/D1=3/3@20"), "stripe-not-3-or-5-places"),
        (("--turned", "--by", "Kim", "--contact", "R1/D2"), "setting-nothing-to-turn"),
    ],
)
def test_what_cannot_be_is_refused(
    capsys: pytest.CaptureFixture[str], heron: Path, more: tuple[str, ...], slug: str
) -> None:
    told = setting(capsys, heron, *more)
    assert told.code == 2
    assert slug in told.err


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_sheet_has_the_gate_the_order_and_the_states(
    capsys: pytest.CaptureFixture[str], heron: Path, tmp_path: Path, paper: str
) -> None:
    stripe(capsys, heron, "F1/D1", "3.8", "4.2", "4.6", day="2026-03-02")
    target = tmp_path / "setting.pdf"
    assert setting(capsys, heron, "--to", str(target), "--paper", paper).code == 0
    document = pypdfium2.PdfDocument(target)
    text = "\n".join(page.get_textpage().get_text_bounded() for page in document)
    assert text.index("Before anything at the press") < text.index("S1 against D2") < text.index("F1 against plate")
    assert "ease" in text
    assert "press isolated and" in text
    assert "Withheld" in text
    assert setting(capsys, heron, "--to", str(target)).code == 2, "a file in the way stays"


def test_a_press_of_several_units_wants_one_named_for_its_sheet(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    told = run(capsys, "setting", "dipper", "--records", str(tmp_path / "none"), "--to", str(tmp_path / "a.pdf"))
    assert "setting-sheet-of-several" in told.err
