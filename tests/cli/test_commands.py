"""Every command does its job, as typed; every refusal is in plain words with a remedy."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.library.workshop import demo_path, demo_presses

Capture = pytest.CaptureFixture[str]


@pytest.mark.parametrize("press", demo_presses())
def test_show_names_every_roller_of_every_demo_press(capsys: Capture, press: str) -> None:
    ran = run(capsys, "press", "show", press)
    assert ran.code == 0
    facts = json.loads(run(capsys, "press", "show", press, "--json").out)["facts"]
    ids = [roller["id"] for unit in facts["units"] for roller in unit["rollers"]]
    assert len(ids) >= 10
    for id in ids:
        assert f" {id} " in ran.out


def test_show_says_that_a_demo_press_is_invented(capsys: Capture) -> None:
    assert "invented" in run(capsys, "press", "show", "heron", "--no-drawing").out.splitlines()[0]


def test_show_as_json_says_its_kind_and_keeps_units_in_the_names(capsys: Capture) -> None:
    answer = json.loads(run(capsys, "press", "show", "heron", "--json").out)
    assert answer["filmsplit"] == "press-facts 1"
    form = next(roller for roller in answer["facts"]["units"][0]["rollers"] if roller["id"] == "F1")
    # Geometry: pi x 54.0 mm.
    assert form["circumference_mm"] == pytest.approx(169.646, abs=5e-4)


def test_a_press_nobody_knows_is_refused_with_the_nearest_name(capsys: Capture) -> None:
    ran = run(capsys, "press", "show", "herron")
    assert ran.code == 2
    assert "Did you mean heron?" in ran.err
    assert "Traceback" not in ran.err


def test_a_missing_file_is_refused_with_its_name(capsys: Capture) -> None:
    ran = run(capsys, "press", "show", "nowhere.yaml")
    assert ran.code == 2
    assert "nowhere.yaml" in ran.err


def test_check_goes_on_after_a_bad_file_and_leaves_with_one(capsys: Capture, tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("filmsplit: press 1\nid: bad\ncolour: red\n", encoding="utf-8")
    ran = run(capsys, "press", "check", str(bad), "heron")
    assert ran.code == 1
    assert "cannot be used" in ran.out
    assert "heron: holds together" in ran.out
    assert f"{bad}:3:1" in ran.out


def test_compare_has_a_column_for_each_press(capsys: Capture) -> None:
    ran = run(capsys, "press", "compare", "heron", "wagtail")
    assert ran.code == 0
    heading = next(line for line in ran.out.splitlines() if "Heron" in line)
    assert "Wagtail" in heading
    assert "interchange" in ran.out


def test_compare_names_every_press_it_cannot_find(capsys: Capture) -> None:
    ran = run(capsys, "press", "compare", "xx1", "yy2")
    assert ran.code == 2
    assert "xx1" in ran.err
    assert "yy2" in ran.err


@pytest.mark.parametrize(("name", "start"), [("train.svg", b"<svg"), ("train.png", b"\x89PNG")])
def test_draw_writes_the_kind_its_ending_says(capsys: Capture, tmp_path: Path, name: str, start: bytes) -> None:
    assert run(capsys, "press", "draw", "heron", "--to", str(tmp_path / name)).code == 0
    assert (tmp_path / name).read_bytes().startswith(start)


def test_draw_never_writes_over_a_file_unasked(capsys: Capture, tmp_path: Path) -> None:
    target = tmp_path / "mine.svg"
    target.write_text("mine", encoding="utf-8")
    assert run(capsys, "press", "draw", "heron", "--to", str(target)).code == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert run(capsys, "press", "draw", "heron", "--to", str(target), "--over").code == 0
    assert target.read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(
    ("options", "word"), [(("--to", "train.bmp"), ".bmp"), (("--to", "t.svg", "--tells", "mood"), "mood")]
)
def test_draw_refuses_what_it_cannot_do(capsys: Capture, options: tuple[str, ...], word: str) -> None:
    ran = run(capsys, "press", "draw", "heron", *options)
    assert ran.code == 2
    assert word in ran.err


def test_marks_name_the_roller(capsys: Capture) -> None:
    # Geometry: marks at 12.0, 181.7 and 351.3 mm are once round a roller of 54.0 mm; the Heron's F1 is drawn so.
    ran = run(capsys, "marks", "heron", "12", "181.7", "351.3")
    assert ran.code == 0
    first = next(line for line in ran.out.splitlines() if " % " in line)
    assert "F1" in first


def test_marks_on_consecutive_sheets_and_in_inches(capsys: Capture) -> None:
    # Geometry: 54.0 mm once round is 169.646 mm, the plate 543.496 mm; four turns on, 12 mm comes at 147.1 mm.
    together = json.loads(run(capsys, "marks", "heron", "12", "181.6", "/", "147.1", "--json").out)["match"]
    inches = json.loads(run(capsys, "marks", "heron", "0.4724in", "7.150in", "/", "5.791in", "--json").out)["match"]
    assert together["ranked"][0]["suspect"]["members"] == ["F1"]
    assert inches["ranked"][0]["suspect"]["members"] == ["F1"]


def test_one_mark_cannot_tell_and_says_so(capsys: Capture) -> None:
    assert "Cannot tell" in run(capsys, "marks", "heron", "12").out


def test_every_distance_not_understood_is_named(capsys: Capture) -> None:
    ran = run(capsys, "marks", "heron", "twelve", "12", "many")
    assert ran.code == 2
    assert "twelve" in ran.err
    assert "many" in ran.err


def test_repeats_follow_a_mark_to_the_next_sheets(capsys: Capture) -> None:
    ran = run(capsys, "repeats", "heron", "F1", "--first", "12", "--sheets", "2")
    assert ran.code == 0
    # 12 + 169.646 = 181.6; 12 + 4 x 169.646 - 543.496 = 147.1 on the next sheet.
    assert "181.6" in ran.out
    assert "147.1" in ran.out


def test_repeats_of_an_unknown_roller_are_refused(capsys: Capture) -> None:
    ran = run(capsys, "repeats", "heron", "F9")
    assert ran.code == 2
    assert "F9" in ran.err


def test_words_are_found_by_another_name(capsys: Capture) -> None:
    assert "oscillator" in run(capsys, "words", "vibrator").out.lower()


def test_words_that_are_nowhere_say_so(capsys: Capture) -> None:
    ran = run(capsys, "words", "zzzzqq")
    assert ran.code == 0
    assert "zzzzqq" in ran.out


def test_demo_draws_shows_and_matches(capsys: Capture, tmp_path: Path) -> None:
    ran = run(capsys, "demo", "--folder", str(tmp_path / "made"))
    assert ran.code == 0
    made = {file.suffix for file in (tmp_path / "made").iterdir() if file.is_file()}
    assert made == {".png", ".svg", ".yaml"}
    plates = sorted(file.name for file in (tmp_path / "made" / "works").iterdir())
    assert plates == [
        "form-plate.svg",
        "form.tif",
        "halftone-page.tif",
        "letterhead.tif",
        "poster.tif",
        "two-colours-process-black.tif",
        "two-colours-process-cyan.tif",
        "window.tif",
    ]
    assert (tmp_path / "made" / "heron.yaml").read_bytes() == demo_path("heron").read_bytes()
    assert "once a turn" in ran.out
    assert "the sheet carries 1.00 µm" in ran.out
    assert (tmp_path / "made" / "heron-films.svg").exists()


def test_set_keeps_comments_and_changes_all_or_nothing(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_bytes(demo_path("heron").read_bytes())
    assert run(capsys, "press", "set", str(file), "F1.diameter_mm=54.2", "F1/plate.stripe.target_mm=3.6").code == 0
    text = file.read_text(encoding="utf-8")
    assert "diameter_mm: 54.2" in text
    assert "# Lies there by its own weight: nothing to adjust." in text
    ran = run(capsys, "press", "set", str(file), "F1.diameter_mm=55", "F1.diametre_mm=55")
    assert ran.code == 2
    assert "diameter_mm" in ran.err
    assert file.read_text(encoding="utf-8") == text


def test_set_without_equals_sign_is_refused(capsys: Capture, tmp_path: Path) -> None:
    ran = run(capsys, "press", "set", str(tmp_path / "x.yaml"), "F1.diameter_mm", "54")
    assert ran.code == 2
    assert "F1.diameter_mm" in ran.err


def test_new_never_writes_over_a_file(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("mine", encoding="utf-8")
    assert run(capsys, "press", "new", str(file), "--plate-turns", "clockwise").code == 2
    assert file.read_text(encoding="utf-8") == "mine"


def test_a_closed_pipe_is_no_error() -> None:
    """`filmsplit press show heron | head -1` ends quietly."""
    script = f"{sys.executable} -m filmsplit press show bittern | head -1"
    ran = subprocess.run(script, shell=True, capture_output=True, text=True, timeout=60, check=False)
    assert "Traceback" not in ran.stderr
    assert "Bittern" in ran.stdout


def test_plain_terminal_gets_plain_letters() -> None:
    """A terminal that knows only ASCII is not sent what it cannot show."""
    environment = {"PYTHONIOENCODING": "ascii:replace", "PATH": "/usr/bin:/bin", "TERM": "dumb"}
    ran = subprocess.run(
        [sys.executable, "-m", "filmsplit", "press", "show", "heron"],
        capture_output=True,
        env=environment,
        timeout=60,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    ran.stdout.decode("ascii")


def test_marks_that_rest_on_an_assumed_diameter_say_so(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_bytes(demo_path("heron").read_bytes())
    assert run(capsys, "press", "set", str(file), "F1.diameter_mm=unknown").code == 0
    ran = run(capsys, "marks", str(file), "12", "181.7", "351.3")
    assert "~ rests on an assumed" in ran.out
    assert "F1.diameter_mm is unknown" in run(capsys, "press", "show", str(file), "--no-drawing").out


def test_marks_are_drawn_where_asked(capsys: Capture, tmp_path: Path) -> None:
    target = tmp_path / "sheet.svg"
    assert run(capsys, "marks", "heron", "12", "181.7", "351.3", "--draw", str(target)).code == 0
    assert target.read_text(encoding="utf-8").startswith("<svg")


def test_show_lists_every_assumption_where_asked(capsys: Capture) -> None:
    assumptions = json.loads(run(capsys, "press", "show", "heron", "--json").out)["assumptions"]
    assert len(assumptions) > 10
    ran = run(capsys, "press", "show", "heron", "--no-drawing", "--assumed")
    for assumption in assumptions:
        assert ".".join(assumption["path"][1:]) in ran.out


def test_show_names_rollers_that_interchange(capsys: Capture) -> None:
    assert "bittern A R1, bittern A R2" in run(capsys, "press", "show", "bittern", "--no-drawing").out
