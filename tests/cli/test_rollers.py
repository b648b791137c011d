"""`filmsplit roller`: a press's rollers go on the register, change places, and every step can be traced."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from filmsplit.cli.roller_commands import roller
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.messages import Refusal


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    return path


def ran(*arguments: str) -> str:
    result = CliRunner().invoke(roller, list(arguments), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def refused(*arguments: str) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        CliRunner().invoke(roller, list(arguments), catch_exceptions=False)
    return [problem.slug for problem in refusal.value.problems]


def listed(*arguments: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(ran("list", "--json", *arguments))["rollers"]
    return found


def page(asked: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(ran("show", asked, "--json"))["page"]
    return found


def where(asked: str) -> str:
    last = page(asked)["history"][-1]
    at = last["at"]
    return f"{at['press']}:{at['unit']}.{at['place']}" if at else last["whereabouts"]


@pytest.mark.parametrize("press", ["heron", "dipper"])
def test_one_command_puts_every_roller_of_a_press_on_the_register(press: str) -> None:
    ran("register", press, "--on", "2025-05-02")
    units = load(demo_path(press)).press.units
    places = {(unit.id, each.id) for unit in units for each in unit.rollers}
    found = listed("--press", press)
    assert {(each["position"]["at"]["unit"], each["position"]["at"]["place"]) for each in found} == places
    assert len({each["roller"]["mark"] for each in found}) == len(places)
    assert {each["roller"]["invented"] for each in found} == {True}


def test_only_what_the_file_knows_is_stated() -> None:
    """What the file of the demo press gives and leaves unknown."""
    ran("register", "heron")
    form, rider = page("heron:F1")["roller"]["facts"], page("heron:R2")["roller"]["facts"]
    assert (form["cover_thickness_mm"], form["drawn_hardness_shore_a"], form["journal_mm"]) == (9.0, 27.0, 15.0)
    assert form["drawn_diameter_mm"] is None
    assert (rider["cover_material"], rider["drawn_hardness_shore_a"]) == ("nylon", None)
    assert page("heron:D1")["roller"]["facts"]["drawn_diameter_mm"] == 65.9


def test_registering_twice_adds_nothing() -> None:
    ran("register", "heron")
    before = listed()
    assert "0 rollers added" in ran("register", "heron")
    assert listed() == before


def test_a_roller_is_found_by_mark_code_and_place() -> None:
    ran("register", "heron")
    by_place = page("heron:F1")["roller"]
    assert page("HERON-f1")["roller"] == page("heron:A.F1")["roller"] == by_place
    assert page(by_place["code"].lower().replace("-", ""))["roller"] == by_place


def test_a_swap_moves_both_and_is_taken_back_whole() -> None:
    ran("register", "heron", "--on", "2025-01-02")
    ran("add", "K1", "--note", "rack 2", "--on", "2025-01-03")
    assert refused("move", "K1", "heron:F1") == ["place-taken"]
    ran("move", "K1", "heron:F1", "--swap", "--on", "2025-02-01")
    assert (where("K1"), where("heron-F1")) == ("heron:A.F1", "shelf")
    assert page("heron:F1")["roller"]["mark"] == "K1"
    ran("move", "K1", "--take-back", "--note", "wrong press")
    assert (where("K1"), where("heron-F1")) == ("shelf", "heron:A.F1")


def test_a_roller_was_where_it_was() -> None:
    ran("register", "heron", "--on", "2025-01-02")
    ran("move", "heron:F1", "sent out", "--on", "2025-02-01", "--note", "re-cover")
    assert len(listed("--press", "heron", "--on", "2025-01-15")) == len(listed("--press", "heron")) + 1
    assert refused("move", "heron-F1", "shelf", "--on", "2025-01-20") == ["roller-moved-later"]


def test_half_a_swap_is_not_taken_back_once_the_other_has_moved_on() -> None:
    ran("register", "heron", "--on", "2025-01-02")
    ran("add", "K1", "--on", "2025-01-02")
    assert refused("move", "K1", "--take-back") == ["move-not-taken-back"]
    ran("move", "K1", "heron:F1", "--swap", "--on", "2025-02-01")
    ran("retire", "heron-F1", "--reason", "cracked", "--on", "2025-02-02")
    assert refused("move", "K1", "--take-back") == ["move-not-taken-back"]
    assert where("heron-F1") == "retired"


def test_facts_are_stated_anew_and_the_rest_stays() -> None:
    ran("add", "K1", "--fact", "face_mm=340", "--fact", "cover_material=nitrile rubber", "--on", "2025-01-01")
    ran("change", "K1", "arrival_hardness_shore_a=26.5", "received_on=2025-01-05", "--on", "2025-01-05")
    facts = page("K1")["roller"]["facts"]
    assert (facts["face_mm"], facts["arrival_hardness_shore_a"]) == (340.0, 26.5)
    ran("change", "K1", "face_mm=unknown")
    assert page("K1")["roller"]["facts"]["face_mm"] is None


@pytest.mark.parametrize(
    ("arguments", "slugs"),
    [
        (("add", "a:b"), {"roller-mark-unusable"}),
        (("add", "HERON-F1"), {"roller-mark-taken"}),
        (("add", "K1", "--fact", "face=3", "--fact", "price=cheap"), {"roller-fact-unknown", "roller-fact-not-read"}),
        (("add", "K1", "--fact", "face_mm=nan"), {"roller-fact-out-of-range"}),
        (("add", "K1", "--fact", "role=fork"), {"roller-word-unknown"}),
        (
            ("change", "heron:F1", "core_diameter_mm=60", "drawn_diameter_mm=50"),
            {"roller-core-too-thick"},
        ),
        (("move", "heron:F1", "heron:F9"), {"place-not-on-press"}),
        (("move", "heron:F1", "cellar"), {"roller-place-unknown"}),
        (("show", "nobody"), {"roller-not-found"}),
        (("show", "dipper:A.F1"), {"place-empty"}),
        (("show", "heron:Q.F1"), {"unit-not-found"}),
        (("list", "--on", "2999-01-01"), {"day-ahead"}),
        (("list", "--on", "May"), {"day-unknown"}),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[str, ...], slugs: set[str]) -> None:
    ran("register", "heron")
    before = listed()
    assert set(refused(*arguments)) == slugs
    assert listed() == before


def test_a_place_that_several_units_have_needs_its_unit() -> None:
    assert len(load(demo_path("dipper")).press.units) > 1
    ran("register", "dipper")
    name = load(demo_path("dipper")).press.units[0].rollers[0].id
    assert refused("show", f"dipper:{name}") == ["place-on-several-units"]


def test_looking_makes_no_file(records: Path) -> None:
    assert listed() == []
    assert refused("show", "K1") == ["records-not-there"]
    assert not records.exists()


def test_labels_of_a_press_and_of_rollers_named(tmp_path: Path) -> None:
    ran("register", "heron")
    ran("add", "K1", "--note", "rack 2, box 4")
    path = tmp_path / "labels.pdf"
    assert "14 labels" in ran("labels", str(path), "K1", "heron:F1", "--press", "heron", "--paper", "letter")
    assert path.read_bytes().startswith(b"%PDF")
    assert refused("labels", str(path), "K1") == ["file-in-the-way"]
    assert refused("labels", str(tmp_path / "x.pdf"), "--press", "dipper") == ["labels-of-nothing"]
    assert refused("labels", str(tmp_path / "x.pdf"), "K9") == ["roller-not-found"]
    assert not (tmp_path / "x.pdf").exists()
