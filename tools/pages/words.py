"""The glossary page and the page of what is not modelled."""

from __future__ import annotations

from filmsplit.library.glossary import Entry, entries, entry
from filmsplit.library.limits import Limit, limits

_GLOSSARY = """\
# Words of the trade

{count} terms as this product uses them, with what they are called in Britain (UK) and America (US). Search them from a
terminal, by any of the names and roughly spelt: `filmsplit words "duct roller"`.

This page is written from the product's own word list by `python3 dev.py docs`.
"""

_LIMITS = """\
# What is not modelled

Read this before you rely on an answer. Each line says what is left out and what that means for you.

This page is written from the product's own list by `python3 dev.py docs`.
"""

_AREAS = {
    "all": "Everywhere",
    "layout": "The layout of the train",
    "facts": "The facts of a press",
    "marks": "Marks at a distance",
    "ink": "Where the ink is",
    "change": "A change of ink",
    "contact": "Stripes",
    "drawing": "The drawing",
}


def glossary_page(_: str) -> str:
    """A heading per term."""
    return "\n".join([_GLOSSARY.format(count=len(entries())), *(_term(each) for each in entries())])


def limits_page(_: str) -> str:
    """A chapter per area, a table of what and so-what."""
    chapters = [_area(area, [each for each in limits() if each.area == area]) for area in _AREAS]
    return "\n".join([_LIMITS, *chapters])


def _term(each: Entry) -> str:
    lines = [f"### {each.term}", "", each.meaning, ""]
    names = {"UK": each.uk, "US": each.us, "Also": each.also}
    said = [f"{where}: {', '.join(words)}" for where, words in names.items() if words]
    if each.see:
        said.append("See: " + ", ".join(f"[{entry(slug).term}](#{_anchor(entry(slug).term)})" for slug in each.see))
    said.append(f"Source: {each.source}")
    return "\n".join([*lines, *(f"- {line}" for line in said), ""])


def _area(area: str, rows: list[Limit]) -> str:
    table = [f"| {row.what} | {row.so} | {row.source} |" for row in rows]
    return "\n".join([f"## {_AREAS[area]}", "", "| left out | so | source |", "|---|---|---|", *table, ""])


def _anchor(heading: str) -> str:
    """As common Markdown renderers name a heading."""
    kept = "".join(letter for letter in heading.lower() if letter.isalnum() or letter in " -")
    return kept.replace(" ", "-")
