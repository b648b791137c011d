"""The page about films tells what the command does, and the schema what it prints."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path
from typing import Any

import click
import jsonschema
import pytest

from cli.terminal import run
from filmsplit.actions.answer_schema import answer_schema
from filmsplit.cli.film_command import NOT_SETTLED, film
from filmsplit.simulation.settle import settle
from filmsplit.studies import film_keys
from filmsplit.studies.film_answer import FilmAnswer

Capture = pytest.CaptureFixture[str]
DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "film.md").read_text(encoding="utf-8")
SCHEMA = json.loads((DOCS / "film-1.schema.json").read_text(encoding="utf-8"))
COARSE = ("--round", "12", "--across", "12")


def strict(schema: Any) -> Any:
    """The same schema with no field allowed that it does not name."""
    if isinstance(schema, list):
        return [strict(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    closed = {key: strict(value) for key, value in schema.items()}
    return closed | ({"additionalProperties": False} if "properties" in schema else {})


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert answer_schema("film 1", FilmAnswer) == SCHEMA


@pytest.mark.parametrize(
    "typed",
    [
        ("heron", *COARSE),
        ("lapwing", *COARSE, "--coverage", "40", "--ink-density", "1.1"),
        ("heron", *COARSE, "--ink-transfer", "3,2,0.3", "--thrown-off", "F2"),
    ],
)
def test_what_is_printed_is_what_the_schema_says(capsys: Capture, typed: tuple[str, ...]) -> None:
    ran = run(capsys, "film", *typed, "--json")
    assert ran.code == 0
    jsonschema.validate(json.loads(ran.out), strict(SCHEMA))


def test_an_answer_that_did_not_settle_is_of_the_schema_too_and_shows_no_film(
    capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(film_keys, "settle", partial(settle, most_periods=1))
    ran = run(capsys, "film", "heron", *COARSE, "--json")
    assert ran.code == NOT_SETTLED
    answer = json.loads(ran.out)
    jsonschema.validate(answer, strict(SCHEMA))
    unit = answer["units"][0]
    assert unit["outcome"]["slug"] == "ink-not-settled"
    assert not unit["settled"]
    assert [unit[part] for part in ("films", "ink", "band", "response")] == [None] * 4


def test_what_issue_and_page_promise_is_in_the_answer(capsys: Capture) -> None:
    """Per roller its mean film; per arc film and length; plate, blanket, sheet; ink; outcome; turns; period."""
    unit = json.loads(run(capsys, "film", "heron", *COARSE, "--json").out)["units"][0]
    films = unit["films"]
    assert all(roller["film_um"] > 0 for roller in films["rollers"])
    assert all(arc["film_um"] > 0 and arc["length_mm"] > 0 for roller in films["rollers"] for arc in roller["arcs"])
    assert min(films["plate_um"], films["blanket_um"], films["sheet_um"]) > 0
    assert unit["revolutions"] % unit["common_period_rev"] == 0


def test_every_option_on_the_page_is_one_of_the_commands_and_the_other_way_round() -> None:
    context = click.Context(film)
    known = {name for each in film.get_params(context) for name in each.opts if name.startswith("--")} - {"--help"}
    named = set(re.findall(r"--[a-z][a-z-]+", PAGE))
    assert named <= known
    assert known - named <= {"--unit", "--mode", "--drawing"}


@pytest.mark.parametrize("typed", re.findall(r"`(--[^`]+ [^`]+)`", PAGE))
def test_every_example_on_the_page_is_understood(capsys: Capture, typed: str) -> None:
    sizes = () if "--round" in typed else COARSE
    if "--round 1" in typed:
        typed = typed.replace("--round 1 --across 1", "--round 10 --across 10")  # how fine does not matter here
    assert run(capsys, "film", "heron", *sizes, *typed.replace("`, `", " ").split()).code == 0


def test_the_sheet_reckoned_on_the_page(capsys: Capture) -> None:
    unit = json.loads(run(capsys, "film", "heron", *COARSE, "--ink-density", "1", "--json").out)["units"][0]
    found = re.search(r"= ([\d.]+) cm³", PAGE)
    assert found is not None
    assert unit["ink"]["printed_per_sheet_g"] == pytest.approx(float(found[1]), rel=1e-6)
