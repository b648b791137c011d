"""Words of the trade: what each means, and what else people call it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from importlib.resources import files
from typing import Any

_NEAR = 0.78
"""Likeness (difflib ratio) from which a misspelt word counts as meant: two letters wrong in a word of nine."""
_SHORTEST_IN_MEANING = 3
"""Shorter words are in too many meanings to help anybody."""
_NO_MATCH = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One term: its meaning, where that comes from, and its other names in Britain, in America, and anywhere."""

    slug: str
    term: str
    meaning: str
    source: str
    uk: tuple[str, ...] = ()
    us: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The term and all its synonyms, each once."""
        return tuple(dict.fromkeys((self.term, *self.uk, *self.us, *self.also)))

    @property
    def synonyms(self) -> tuple[str, ...]:
        """What it is also called."""
        return self.names[1:]


@cache
def entries() -> tuple[Entry, ...]:
    """Every entry, by alphabet of the terms."""
    table = tomllib.loads(files(__package__).joinpath("glossary.toml").read_text(encoding="utf-8"))
    found = (_entry(slug, row) for slug, row in table.items())
    return tuple(sorted(found, key=lambda entry: entry.term.lower()))


def entry(slug: str) -> Entry:
    """The entry called ``slug``; ``KeyError`` if there is none."""
    for each in entries():
        if each.slug == slug:
            return each
    raise KeyError(slug)


def search(words: str) -> tuple[Entry, ...]:
    """Entries for ``words``, best first: the term itself, a synonym, part of a name, near spelling, in a meaning.

    Empty where nothing comes near. British and American spelling of one name find the same entry.
    """
    wanted = _plain(words)
    if not wanted:
        return ()
    ranked = sorted((_rank(each, wanted), each.term.lower(), each.slug) for each in entries())
    best = [(rank, slug) for rank, _, slug in ranked if rank < _NO_MATCH]
    # A meaning that happens to hold the word is only worth showing where no name does.
    shown = [slug for rank, slug in best if rank < 4 or best[0][0] >= 4]
    return tuple(entry(slug) for slug in shown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """What was typed, as other texts may say it: each part is one word, or the whole where that is a name.

    A part lists itself first, then the other names of what it is called in the glossary.
    """

    parts: tuple[tuple[str, ...], ...]

    def found_in(self, text: str) -> str | None:
        """The other names by which ``text`` says it, empty where it says it as typed; ``None`` if it does not."""
        plain, by = _plain(text), []
        for names in self.parts:
            found = next((name for name in names if _says(plain, _plain(name))), None)
            if found is None:
                return None
            by += [] if found == names[0] else [found]
        return ", ".join(by)


def meant(words: str) -> Meant:
    """What ``words`` may be called elsewhere; no part at all where there is no letter and no figure in them."""
    plain = _plain(words)
    whole = _other_names(plain)
    if whole or not plain:
        return Meant(parts=((plain, *whole),) if plain else ())
    return Meant(parts=tuple((word, *_other_names(word)) for word in plain.split()))


def _other_names(wanted: str) -> tuple[str, ...]:
    """The term first, then its synonyms, of every entry with a name spelt like that."""
    called = [each for each in entries() if wanted in [_plain(name) for name in each.names]]
    terms = [each.term for each in called] + [name for each in called for name in each.synonyms]
    return tuple(dict.fromkeys(name for name in terms if _plain(name) != wanted))


def _rank(each: Entry, wanted: str) -> float:
    names = [_plain(name) for name in each.names]
    if wanted == names[0]:
        return 0
    if wanted in names:
        return 1
    if any(_holds(name, wanted) for name in names):
        return 2
    likeness = [SequenceMatcher(None, wanted, name).ratio() for name in names]
    if max(likeness) >= _NEAR:
        # Between 3 and 4, the closest first; the term itself before a synonym spelt alike.
        return 4 - max(likeness) - (0.001 if likeness[0] == max(likeness) else 0)
    in_meaning = len(wanted) >= _SHORTEST_IN_MEANING and _holds(_plain(each.meaning), wanted)
    return 5 if in_meaning else _NO_MATCH


def _holds(text: str, wanted: str) -> bool:
    """Whether every wanted word begins some word of the text."""
    words = text.split()
    return all(any(word.startswith(part) for word in words) for part in wanted.split())


def _says(text: str, wanted: str) -> bool:
    """As ``_holds``, but one or two letters are a name of their own (F1) and not the beginning of any word."""
    short = [part for part in wanted.split() if len(part) < _SHORTEST_IN_MEANING]
    return _holds(text, wanted) and set(short) <= set(text.split())


def _plain(text: str) -> str:
    """Lower case, no hyphens or punctuation, British endings: so that spellings of one word meet."""
    spaced = "".join(letter if letter.isalnum() else " " for letter in text.lower().replace("'s", "s"))
    return " ".join(_british(word) for word in spaced.split())


def _british(word: str) -> str:
    for american, british in (("color", "colour"), ("gray", "grey"), ("center", "centre"), ("caliper", "calliper")):
        word = word.replace(american, british)
    return word


def _entry(slug: str, row: dict[str, Any]) -> Entry:
    frozen: dict[str, Any] = {key: value if isinstance(value, str) else tuple(value) for key, value in row.items()}
    return Entry(slug=slug, **frozen)
