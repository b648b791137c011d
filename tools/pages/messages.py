"""The page of every message, written from the English catalogue."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files

from filmsplit.messages import Severity, label

_INTRO = """\
# Messages

Every message the tool can show, by the short name printed under it. Words in *slanted type* are filled in from your
file. A **refusal** means nothing was done; a **warning** means the answer stands but look at it; a **note** is only
for your information.

This page is written from the message catalogue by `python3 dev.py docs`.
"""


def messages_page(_: str) -> str:
    """A chapter per catalogue file, a heading per message."""
    folder = files("filmsplit.messages.catalogue").joinpath("en")
    chapters = [
        _chapter(entry.read_text(encoding="utf-8"))
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml") and not entry.name.startswith("labels")
    ]
    return "\n".join([_INTRO, *chapters])


def _chapter(text: str) -> str:
    """The first comment line of the file is its title: up to the first full stop."""
    title = text.partition("\n")[0].lstrip("# ").partition(".")[0]
    entries = tomllib.loads(text)
    return "\n".join([f"## {title}", "", *(_entry(slug, entries[slug]) for slug in sorted(entries))])


def _entry(slug: str, entry: dict[str, str]) -> str:
    severity = label("severity." + Severity(entry["severity"]).value)
    return (
        f"### {slug}\n\n**{severity}.** {_slanted(entry['what'])}\n\n"
        f"*Why it matters.* {_slanted(entry['why'])}\n\n*What to do.* {_slanted(entry['remedy'])}\n"
    )


def _slanted(text: str) -> str:
    return re.sub(r"{(\w+)[^}]*}", lambda match: "*" + match[1].replace("_", " ") + "*", " ".join(text.split()))
