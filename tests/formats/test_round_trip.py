"""Write, read, equal: what a person wrote, what is unknown and what was assumed for it come back the same."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from ruamel.yaml import YAML

import filmsplit.library
from filmsplit.formats.press_file import describe, loads
from filmsplit.formats.press_writer import dumps
from filmsplit.press import Press
from formats.corpus import GOOD
from formats.random_presses import random_press_file
from trains import random_press

LIBRARY = sorted((Path(filmsplit.library.__file__).parent / "presses").glob("*.yaml"))


def again(press: Press) -> Press:
    return describe(dumps(press)).press


@pytest.mark.parametrize("seed", range(300))
def test_a_press_file_made_of_dice_comes_back_equal(seed: int) -> None:
    press = describe(random_press_file(Random(seed))).press
    assert again(press) == press
    assert dumps(again(press)) == dumps(press)


def test_the_dice_reach_what_matters() -> None:
    presses = [describe(random_press_file(Random(seed))).press for seed in range(300)]
    assumed = {assumption.path[-1] for press in presses for assumption in press.assumptions}
    assert {"body_diameter_mm", "hardness_shore_a", "stroke_mm", "zone_widths_mm", "centre", "cover"} <= assumed
    assert any(contact.speed_ratio for press in presses for unit in press.units for contact in unit.contacts)


@pytest.mark.parametrize("seed", range(40))
def test_a_random_train_comes_back_equal(seed: int) -> None:
    press = random_press(Random(seed))
    assert again(press) == press


@pytest.mark.parametrize("path", LIBRARY, ids=lambda path: path.stem)
def test_a_press_of_the_library_comes_back_equal(path: Path) -> None:
    press = describe(path.read_text(encoding="utf-8")).press
    assert again(press) == press


def test_a_press_with_relaxed_centres_comes_back_equal() -> None:
    press = loads(GOOD).press
    assert again(press) == press
    assert loads(dumps(press)).press == press


@pytest.mark.parametrize("seed", range(60))
def test_another_yaml_reader_reads_the_same_values(seed: int) -> None:
    # Source: the YAML 1.2 core schema as an independent reader has it; our yes and no are texts there.
    press = describe(random_press_file(Random(seed))).press
    seen = YAML(typ="safe", pure=True).load(dumps(press))
    assert [roller["id"] for unit in seen["units"] for roller in unit["rollers"]] == [
        roller.id for unit in press.units for roller in unit.rollers
    ]
    assert seen.get("note", "") == press.note
    for unit, unit_seen in zip(press.units, seen["units"], strict=True):
        for roller, roller_seen in zip(unit.rollers, unit_seen["rollers"], strict=True):
            if roller_seen["diameter_mm"] != "unknown":
                assert roller_seen["diameter_mm"] == roller.diameter_mm
