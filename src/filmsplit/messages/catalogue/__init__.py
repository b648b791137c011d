"""The texts a person can meet: one folder per language, TOML files of messages and labels."""

from __future__ import annotations

import os
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from filmsplit.messages.quantities import filled

DEFAULT_LANGUAGE = "en"
LANGUAGE_VARIABLE = "FILMSPLIT_LANGUAGE"
_LABEL_FILES = "labels"
"""How the names of files of labels begin; all others hold messages."""


@dataclass(frozen=True, slots=True)
class MessageText:
    """The catalogue entry of one message: ``what`` happened, ``why`` it matters, the ``remedy``."""

    severity: str
    what: str
    why: str
    remedy: str


def language() -> str:
    """The language asked for, if the catalogue has it; otherwise English."""
    asked = os.environ.get(LANGUAGE_VARIABLE, DEFAULT_LANGUAGE).split("_")[0].lower()
    return asked if asked in languages() else DEFAULT_LANGUAGE


@cache
def languages() -> tuple[str, ...]:
    """The languages the catalogue holds."""
    folders = (entry for entry in files(__package__).iterdir() if entry.is_dir())
    return tuple(sorted(folder.name for folder in folders if folder.joinpath("labels.toml").is_file()))


@cache
def messages(language: str) -> dict[str, MessageText]:
    """Every message of ``language`` by slug."""
    found: dict[str, MessageText] = {}
    for entry in files(__package__).joinpath(language).iterdir():
        if entry.name.endswith(".toml") and not entry.name.startswith(_LABEL_FILES):
            table = tomllib.loads(entry.read_text(encoding="utf-8"))
            found.update({slug: MessageText(**text) for slug, text in table.items()})
    return found


@cache
def labels(language: str) -> dict[str, str]:
    """Every label of ``language`` by key."""
    found: dict[str, str] = {}
    for entry in files(__package__).joinpath(language).iterdir():
        if entry.name.endswith(".toml") and entry.name.startswith(_LABEL_FILES):
            table: dict[str, dict[str, str]] = tomllib.loads(entry.read_text(encoding="utf-8"))
            found |= {f"{group}.{key}": text for group, entries in table.items() for key, text in entries.items()}
    return found


def message_text(slug: str) -> MessageText:
    """The text of ``slug`` in the language asked for, in English where a translation lacks it."""
    return messages(language()).get(slug) or messages(DEFAULT_LANGUAGE)[slug]


def label(key: str, **values: object) -> str:
    """The label called ``group.key`` with its values filled in."""
    text = labels(language()).get(key) or labels(DEFAULT_LANGUAGE)[key]
    return filled(text, values)
