"""The JSON Schema agrees with the reading: an independent validator passes what is read and stops what is not."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

import filmsplit.library
from filmsplit.formats.press_file import describe
from filmsplit.formats.press_reference import reference_page
from filmsplit.formats.press_schema import FILE_NAME, schema, write_schema
from filmsplit.formats.press_template import new_press
from filmsplit.formats.press_writer import dumps, modeline
from filmsplit.press.words import TurnSense
from formats.corpus import GOOD, SHAPE, STRUCTURE, VALUES, Broken
from formats.random_presses import random_press_file

LIBRARY = sorted((Path(filmsplit.library.__file__).parent / "presses").glob("*.yaml"))
VALIDATOR = Draft202012Validator(schema())


def as_data(text: str) -> Any:
    """What an editor sees: YAML 1.2 as an independent reader resolves it."""
    return YAML(typ="safe", pure=True).load(text)


def faults(text: str) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in VALIDATOR.iter_errors(as_data(text))]


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema())
    assert json.loads(json.dumps(schema())) == schema()


@pytest.mark.parametrize("path", LIBRARY, ids=lambda path: path.stem)
def test_the_library_fits_the_schema(path: Path) -> None:
    assert faults(path.read_text(encoding="utf-8")) == []


def test_new_files_fit_the_schema() -> None:
    assert faults(new_press("wren", plate_turns=TurnSense.CLOCKWISE)) == []


@pytest.mark.parametrize("seed", range(40))
def test_what_is_written_fits_the_schema(seed: int) -> None:
    assert faults(dumps(describe(random_press_file(Random(seed))).press)) == []


# To an editor these are numbers (54, 54 and one that no bound compares with): only the reading itself can tell.
AS_A_NUMBER = ("diameter_mm: 0x36\n", "diameter_mm: 5_4\n", "diameter_mm: .nan\n")
FITTING = [case for case in (*SHAPE, *VALUES) if case.new not in AS_A_NUMBER]


@pytest.mark.parametrize("case", FITTING, ids=str)
def test_broken_shapes_and_values_do_not_fit_the_schema(case: Broken) -> None:
    assert faults(case.text)


def test_a_field_that_means_nothing_does_not_fit_the_schema() -> None:
    idle = [case for case in STRUCTURE if case.slug == "press-file-field-idle"]
    caught = [case for case in idle if faults(case.text)]
    assert len(caught) >= len(idle) - 1


def test_editors_find_the_schema(tmp_path: Path) -> None:
    path = write_schema(tmp_path)
    assert path.name == FILE_NAME
    assert json.loads(path.read_text(encoding="utf-8")) == schema()
    text = dumps(describe(GOOD).press, schema=FILE_NAME)
    assert text.splitlines()[1] == modeline(FILE_NAME) == f"# yaml-language-server: $schema={FILE_NAME}"


def test_every_field_is_explained_in_the_schema() -> None:
    records = [schema(), *schema()["$defs"].values()]
    fields = [field for record in records for name, field in record["properties"].items() if name != "filmsplit"]
    assert len(fields) > 60
    assert all(field["description"] for field in fields)


def test_every_field_is_on_the_reference_page() -> None:
    page = reference_page()
    for record in (schema(), *schema()["$defs"].values()):
        for name in record["properties"]:
            assert f"| `{name}` |" in page or name == "filmsplit"


def test_the_reference_page_is_up_to_date() -> None:
    page = Path(__file__).resolve().parents[2] / "docs" / "press-file.md"
    assert page.read_text(encoding="utf-8") == reference_page(), "run: python3 dev.py docs"
