"""A press as found beside the same press as drawn; a friction-driven roller repeats at pi times its diameter."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cli.terminal import run
from filmsplit.condition.exchange_share import ShareAt, Strength, exchange_share, shares_along
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.studies.as_found import DEFAULT_QUESTION, with_shares
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.film_study import film_study
from filmsplit.studies.film_told import unit_answer

ON = ("--on", "2026-03-02")


@pytest.fixture
def records(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Path:
    path = tmp_path / "shop.records"
    run(capsys, "roller", "register", "heron", "--records", str(path), *ON)
    return path


def read(capsys: pytest.CaptureFixture[str], records: Path, *words: str) -> None:
    done = run(capsys, "reading", "add", *words, "--temperature", "35", "--records", str(records), *ON)
    assert done.code == 0, done.err


def found(capsys: pytest.CaptureFixture[str], records: Path, *more: str) -> dict[str, Any]:
    done = run(capsys, "as-found", "heron", "--records", str(records), *ON, "--json", *more)
    assert done.code == 0, done.err
    unit: dict[str, Any] = json.loads(done.out)["found"]["units"][0]
    return unit


def films(unit: dict[str, Any]) -> dict[str | None, dict[str, Any]]:
    return {case["strength"]: case for case in unit["cases"]}


def test_the_assumed_law_at_its_ends() -> None:
    for strength in Strength:
        assert exchange_share(3.0, target_mm=3.0, strength=strength) == 1.0
        assert exchange_share(5.0, target_mm=3.0, strength=strength) == 1.0
        assert exchange_share(0.0, target_mm=3.0, strength=strength) == 0.0
    assert exchange_share(1.5, target_mm=3.0, strength=Strength.NONE) == 1.0
    assert exchange_share(1.5, target_mm=3.0, strength=Strength.MIDDLING) == 0.75
    assert exchange_share(1.5, target_mm=3.0, strength=Strength.STRONG) == 0.5
    along = shares_along((3.0, 1.5, 0.0), target_mm=3.0, strength=Strength.STRONG)
    assert [(each.along, each.share) for each in along] == [(0.0, 1.0), (0.5, 0.5), (1.0, 0.0)]
    with pytest.raises(ValueError, match="width"):
        exchange_share(1.0, target_mm=0.0, strength=Strength.NONE)


def test_what_was_not_read_is_as_drawn_to_the_last_bit(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    cases = films(found(capsys, records))
    drawn = cases.pop(None)
    assert len(cases) == 3
    for case in cases.values():
        assert {**case, "strength": None} == drawn


def test_a_ground_roller_repeats_at_pi_times_what_was_measured(
    capsys: pytest.CaptureFixture[str], records: Path
) -> None:
    read(capsys, records, "diameter", "heron:F2", "49.5", "49.6", "49.7")
    rollers = {each["place"]: each for each in found(capsys, records)["rollers"]}
    assert rollers["F2"]["diameter_mm"] == 49.6
    assert rollers["F2"]["repeat_mm"] == pytest.approx(math.pi * 49.6, abs=1e-9)
    assert rollers["F2"]["file_repeat_mm"] == pytest.approx(math.pi * 50.0, abs=1e-9)
    assert rollers["F1"]["diameter_mm"] is None


def test_a_stripe_at_its_target_changes_nothing_and_a_narrow_one_widens_the_band(
    capsys: pytest.CaptureFixture[str], records: Path
) -> None:
    read(capsys, records, "stripe", "heron:F2/plate", "3.0", "3.0", "3.0")  # the target of the Heron's file, at 35 C
    unit = found(capsys, records)
    (contact,) = [each for each in unit["contacts"] if each["widths_mm"]]
    assert contact["shares"] == pytest.approx({"none": 1.0, "middling": 1.0, "strong": 1.0}, abs=0.01)
    read(capsys, records, "stripe", "heron:F1/plate", "0.7", "0.7", "0.7")
    cases = films(found(capsys, records))
    first = {name: {each["id"]: each["share"] for each in case["forms"]}["F1"] for name, case in cases.items()}
    assert first[None] == pytest.approx(first["none"], rel=1e-6)
    assert first["none"] > first["middling"] > first["strong"] > 0


def test_a_form_roller_that_leaves_no_mark_gives_nothing(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    read(capsys, records, "stripe", "heron:F1/plate", "0", "0", "0")
    for name, case in films(found(capsys, records)).items():
        shares = {each["id"]: each["share"] for each in case["forms"]}
        if name is not None:
            assert shares["F1"] == pytest.approx(0.0, abs=1e-12)
            assert shares["F2"] == pytest.approx(1.0, abs=1e-12)


def test_a_run_down_takes_the_place_of_the_assumption(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    read(capsys, records, "stripe", "heron:F1/plate", "0.7", "0.7", "0.7")
    cases = films(found(capsys, records, "--share", "F1/plate=0.6"))
    shares = {name: [each["share"] for each in case["forms"]] for name, case in cases.items()}
    assert shares["none"] == shares["middling"] == shares["strong"] != shares[None]


def test_the_file_as_found_is_a_press_file_with_what_was_drawn_kept(
    capsys: pytest.CaptureFixture[str], records: Path, tmp_path: Path
) -> None:
    read(capsys, records, "diameter", "heron:F1", "53.6", "53.6", "53.6")
    target = tmp_path / "found.yaml"
    found(capsys, records, "--to", str(target))
    text = target.read_text(encoding="utf-8")
    assert "diameter_mm: 53.6" in text
    assert "drawn_diameter_mm: 54" in text
    assert run(capsys, "press", "check", str(target)).code == 0
    again = run(capsys, "as-found", "heron", "--records", str(records), *ON, "--to", str(target))
    assert again.code == 2, "a file in the way stays"


@pytest.mark.parametrize(
    ("more", "slug"),
    [
        (("--share", "F1/XX=0.5"), "setting-contact-unknown"),
        (("--share", "F1/plate=1.5"), "as-found-share-impossible"),
        (("--share", "F1/plate"), "as-found-share-mistyped"),
        (("--share", "F1/plate=much"), "as-found-share-mistyped"),
    ],
)
def test_what_is_no_share_is_refused(
    capsys: pytest.CaptureFixture[str], records: Path, more: tuple[str, ...], slug: str
) -> None:
    done = run(capsys, "as-found", "heron", "--records", str(records), *more)
    assert done.code == 2
    assert slug in done.err


def test_the_assumption_stands_before_every_figure(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    told = run(capsys, "as-found", "heron", "--records", str(records), *ON).out
    told = " ".join(told.split())
    assert told.index("There is no published law") < told.index("as drawn")
    assert "0 of 13 rollers" in told


def test_a_contact_that_exchanges_nothing_is_a_form_roller_thrown_off() -> None:
    """Two ways to the same press through the engine: the share 0, and the roller lifted from the plate."""
    press = load(demo_path("heron")).press
    unit = press.units[0]
    question = replace(DEFAULT_QUESTION, key_films_um=20.0)
    (on,) = settings_of(press, (unit,), question)
    (off,) = settings_of(press, (unit,), replace(question, thrown_off=frozenset({"F1"})))
    nothing = with_shares(on, {"F1/plate": (ShareAt(0.0, 0.0), ShareAt(1.0, 0.0))}, unit=unit)
    closed, lifted = unit_answer(film_study(nothing)).films, unit_answer(film_study(off)).films
    assert closed is not None
    assert lifted is not None
    assert closed.sheet_um == pytest.approx(lifted.sheet_um, rel=2e-3)  # each settled to 1e-3
    for one, other in zip(closed.rollers, lifted.rollers, strict=True):
        assert one.film_um == pytest.approx(other.film_um, rel=5e-3)


def test_a_stripe_read_before_its_adjusters_were_turned_says_nothing(
    capsys: pytest.CaptureFixture[str], records: Path
) -> None:
    read(capsys, records, "stripe", "heron:F1/plate", "0.7", "0.7", "0.7")
    run(capsys, "reading", "add", "adjusted", "heron:F1/plate", "20", "20", "--records", str(records), *ON)
    assert not [each for each in found(capsys, records)["contacts"] if each["widths_mm"]]


def test_a_stripe_read_before_a_regrind_says_nothing(capsys: pytest.CaptureFixture[str], records: Path) -> None:
    read(capsys, records, "stripe", "heron:F1/plate", "0.7", "0.7", "0.7")
    words = ("reading", "add", "regrind", "heron:F1", "53.5", "--records", str(records), "--on", "2026-03-03")
    assert run(capsys, *words).code == 0
    later = run(capsys, "as-found", "heron", "--records", str(records), "--on", "2026-03-04", "--json")
    unit = json.loads(later.out)["found"]["units"][0]
    assert not [each for each in unit["contacts"] if each["widths_mm"]]
