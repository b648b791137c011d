"""`filmsplit film` as typed: what it prints, what it refuses, how it leaves."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.library.workshop import demo_presses

Capture = pytest.CaptureFixture[str]
COARSE = ("--round", "12", "--across", "12")
"""Enough for how things are said; numbers have tests of their own."""


@pytest.fixture(scope="module", params=demo_presses())
def press(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_every_demo_press_answers_without_options_and_its_budget_closes(capsys: Capture, press: str) -> None:
    ran = run(capsys, "film", press, "--json")
    assert ran.code == 0
    answer = json.loads(ran.out)
    assert answer["filmsplit"] == "film 1"
    for unit in answer["units"]:
        assert unit["outcome"]["slug"] == "ink-settled"
        # The aim, 1 um: the keys were found for it.
        assert unit["films"]["sheet_um"] == pytest.approx(1.0, rel=2e-3)
        ink, asked = unit["ink"], unit["asked"]
        # By hand: film x sheet x coverage x density, 1 um on 1 mm2 being 1e-6 cm3.
        area_mm2 = asked["sheet_length_mm"] * asked["sheet_width_mm"]
        by_hand_g = unit["films"]["sheet_um"] * area_mm2 * asked["coverage"] * 1e-6 * ink["density_g_per_cm3"]
        assert ink["printed_per_sheet_g"] == pytest.approx(by_hand_g, rel=1e-9)
        assert ink["fed_per_sheet_g"] == pytest.approx(by_hand_g, rel=asked["accuracy"])
        assert ink["stored_g"] == pytest.approx(
            sum(roller["stored_g"] for roller in unit["films"]["rollers"]), rel=0.2
        )  # what is left is on plate and blanket


def test_what_is_assumed_is_said(capsys: Capture) -> None:
    out = run(capsys, "film", "heron", *COARSE).out
    assert "Coverage is taken as 20 %" in out
    assert "The keys are set evenly to print 1 µm" in out
    assert "the sweep is taken as 33 mm" in out  # notches 1 to 10 of 5.5 mm: notch 6
    told = run(capsys, "film", "heron", *COARSE, "--coverage", "20", "--keys-um", "10", "--sweep", "33").out
    assert "is taken as 20 %" not in told
    assert "set evenly" not in told
    assert "the sweep is taken" not in told
    assert "The ink is taken as" in told
    assert "The ink is taken as" not in run(capsys, "film", "heron", *COARSE, "--ink", "process-black").out


def test_everything_that_cannot_be_is_refused_at_once(capsys: Capture) -> None:
    ran = run(
        capsys,
        "film",
        "heron",
        *("--coverage", "5,5", "--sheet", "900x320", "--keys-um", "0", "--sweep", "500"),
        *("--thrown-off", "X", "--tau", "2", "--round", "0", "--map", "map.txt", "--ink", "gold"),
        *("--ink-transfer", "3,2"),
    )
    assert ran.code == 2
    assert ran.out == ""
    for slug in (
        "film-zones-miscounted",
        "film-sheet-too-large",
        "film-keys-shut",
        "film-sweep-beyond",
        "film-form-unknown",
        "film-number-out-of-range",
        "drawing-kind-unknown",
        "film-ink-unknown",
        "film-words-not-understood",
    ):
        assert f"({slug})" in ran.err, slug
    assert ran.err.count("(film-number-out-of-range)") == 2  # tau, round


@pytest.mark.parametrize(
    ("typed", "slug"),
    [
        (("--coverage", "120"), "film-number-out-of-range"),
        (("--coverage", "-1"), "film-number-out-of-range"),
        (("--coverage", "nan"), "film-number-out-of-range"),
        (("--coverage", "a lot"), "film-words-not-understood"),
        (("--coverage", "0"), "film-nothing-printed"),
        (("--keys-um", "1,2,3"), "film-zones-miscounted"),
        (("--keys-um", "0,0,0,0,0,0,0,0,0,0"), "film-keys-shut"),
        (("--keys-um", "inf"), "film-number-out-of-range"),
        (("--keys-um", "9", "--aim", "1"), "film-aim-and-keys"),
        (("--aim", "nan"), "film-number-out-of-range"),
        (("--sheet", "360"), "film-words-not-understood"),
        (("--sheet", "300x400"), "film-sheet-too-large"),
        (("--sweep", "0"), "film-sweep-shut"),
        (("--sweep", "55.1"), "film-sweep-beyond"),
        (("--thrown-off", "D1"), "film-form-unknown"),
        (("--thrown-off", "F1", "--thrown-off", "F2"), "film-no-form-left"),
        (("--tau", "0.05"), "film-number-out-of-range"),
        (("--tau", "0.5", "--ink-transfer", "3,2,0.3"), "film-two-laws"),
        (("--ink-transfer", "3,2"), "film-words-not-understood"),
        (("--ink-transfer", "3,2,nan"), "film-number-out-of-range"),
        (("--ink", "gold"), "film-ink-unknown"),
        (("--ink", "process-cyan", "--ink-density", "1"), "film-two-densities"),
        (("--round", "nan"), "film-number-out-of-range"),
        (("--round", "31"), "film-number-out-of-range"),
        (("--round", "0.06", "--across", "0.06"), "film-cells-too-many"),
        (("--accuracy", "0"), "film-number-out-of-range"),
        (("--unit", "Z"), "unit-not-found"),
    ],
)
def test_each_refusal_has_its_message(capsys: Capture, typed: tuple[str, ...], slug: str) -> None:
    ran = run(capsys, "film", "heron", *typed)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count(f"({slug})") == 1
    assert ran.err.count("what to do:") == 1


def test_a_sheet_that_takes_all_has_a_band_too(capsys: Capture) -> None:
    """The share cannot be moved above 1 to see what that does; moving it down is enough."""
    unit = json.loads(run(capsys, "film", "heron", *COARSE, "--tau", "1", "--json").out)["units"][0]
    assert unit["band"]["low_um"] < 1 < unit["band"]["high_um"]
    assert any(part["kind"] == "transfer" and part["part"] > 0 for part in unit["band"]["parts"])


def test_a_press_without_a_ductor_has_no_sweep(capsys: Capture) -> None:
    ran = run(capsys, "film", "lapwing", "--unit", "1", "--sweep", "10")
    assert ran.code == 2
    assert "(film-sweep-no-ductor)" in ran.err


def test_a_picture_in_the_way_stays(capsys: Capture, tmp_path: Path) -> None:
    target = tmp_path / "map.svg"
    target.write_text("mine", encoding="utf-8")
    ran = run(capsys, "film", "heron", *COARSE, "--map", str(target))
    assert ran.code == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert run(capsys, "film", "heron", *COARSE, "--map", str(target), "--over").code == 0
    assert target.read_text(encoding="utf-8").startswith("<svg")


def test_every_picture_can_be_drawn(capsys: Capture, tmp_path: Path) -> None:
    names = {"--draw": "films.svg", "--map": "map.png", "--profile": "profile.svg", "--start-up": "start.svg"}
    typed = [word for option, name in names.items() for word in (option, str(tmp_path / name))]
    ran = run(capsys, "film", "heron", *COARSE, *typed)
    assert ran.code == 0
    for name in names.values():
        assert (tmp_path / name).stat().st_size > 1000
        assert name in ran.err


def test_with_several_units_each_gets_a_picture(capsys: Capture, tmp_path: Path) -> None:
    assert run(capsys, "film", "lapwing", *COARSE, "--map", str(tmp_path / "m.svg")).code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["m-1.svg", "m-2.svg"]
