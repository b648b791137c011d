"""Pages about answers: their tables of the answer as JSON, written from the typed records; and the JSON Schemas."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Iterator
from typing import get_type_hints

from filmsplit.actions import film, foresee, run_down, setup
from filmsplit.actions.answer_schema import answer_schema, first_line, records_of
from filmsplit.actions.foresee import ForeseenAnswer
from filmsplit.actions.run_down_answer import RunDownAnswer
from filmsplit.studies.film_answer import FilmAnswer
from filmsplit.studies.job_answer import SetupAnswer

_BLOCK = re.compile(r"(<!-- answer: written by dev.py docs -->\n).*?(<!-- end of answer -->)", re.DOTALL)


def film_page(before: str) -> str:
    """The page about films."""
    return _page(before, FilmAnswer)


def film_schema(_: str) -> str:
    """Its schema."""
    return _schema(film.KIND, FilmAnswer)


def setup_page(before: str) -> str:
    """The page about settings of a job."""
    return _page(before, SetupAnswer)


def setup_schema(_: str) -> str:
    """Its schema."""
    return _schema(setup.KIND, SetupAnswer)


def run_down_page(before: str) -> str:
    """The page about the run-down test."""
    return _page(before, RunDownAnswer)


def run_down_schema(_: str) -> str:
    """Its schema."""
    return _schema(run_down.KIND, RunDownAnswer)


def foresee_page(before: str) -> str:
    """The page about the sheet foreseen."""
    return _page(before, ForeseenAnswer)


def foresee_schema(_: str) -> str:
    """Its schema."""
    return _schema(foresee.KIND, ForeseenAnswer)


def _page(before: str, answer: type) -> str:
    """The page as it stands, its marked block replaced."""
    tables = "\n".join(line for record in records_of(answer) for line in _table(record, answer))
    return _BLOCK.sub(lambda found: f"{found[1]}\n{tables}\n{found[2]}", before)


def _schema(kind: str, answer: type) -> str:
    """The schema as a file."""
    return json.dumps(answer_schema(kind, answer), indent=1, ensure_ascii=False) + "\n"


def _table(record: type, answer: type) -> Iterator[str]:
    hints = get_type_hints(record)
    yield f"### {_name(record, answer)}\n"
    yield f"{first_line(record)}\n"
    yield "| field | type | unit | what it is |"
    yield "|---|---|---|---|"
    for field in dataclasses.fields(record):
        words = (_type(hints[field.name]), field.metadata["unit"], field.metadata["told"])
        yield f"| `{field.name}` | " + " | ".join(word.replace("|", "or") for word in words) + " |"
    yield ""


def _name(record: type, answer: type) -> str:
    """What a record is called on the page: `ArcAnswer` is an arc."""
    return "the whole answer" if record is answer else record.__name__.removesuffix("Answer").lower()


def _type(hint: object) -> str:
    """A type in the words of JSON."""
    text = hint.__name__ if isinstance(hint, type) and not hasattr(hint, "__args__") else str(hint)
    text = re.sub(r"(\w+\.)+", "", text)
    text = re.sub(r"tuple\[(\w+), \.\.\.\]", r"list of \1", text)
    text = re.sub(r"dict\[str, (\w+)\]", r"object of \1", text)
    text = re.sub(r"\b(Set[A-Z]\w+)", lambda found: f"[{found[1].lower()}](#{found[1].lower()})", text)
    text = re.sub(r"(\w+)Answer", lambda found: f"[{found[1].lower()}](#{found[1].lower()})", text)
    for python, words in (("float", "number"), ("int", "whole number"), ("str", "text"), ("bool", "yes or no")):
        text = re.sub(rf"\b{python}\b", words, text)
    return text.replace("None", "null").replace("Problem", "[message](messages.md)").replace("|", "or")
