"""Facts of a roller as somebody types them: ``face_mm=340``, ``cover_material="nitrile rubber"``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from filmsplit.formats.scalars import hint
from filmsplit.messages import Problem, Refusal
from filmsplit.records.roller_facts import fact_types

UNKNOWN = "unknown"
"""The word by which a fact is made unknown again."""


def read_facts(words: Sequence[str]) -> dict[str, Any]:
    """The facts by name; :class:`Refusal` with everything that is not understood."""
    problems = tuple(_problems(words))
    if problems:
        raise Refusal(problems)
    told = (word.partition("=") for word in words)
    return {name.strip(): _value(text.strip(), fact_types()[name.strip()]) for name, _, text in told}


def _problems(words: Sequence[str]) -> Iterator[Problem]:
    kinds = fact_types()
    for word in words:
        name, parted, text = (part.strip() for part in word.partition("="))
        if not parted or name not in kinds:
            values = {"given": word, "known": ", ".join(kinds), "hint": hint(name, kinds)}
            yield Problem("roller-fact-unknown", values)
            continue
        try:
            _value(text, kinds[name])
        except ValueError:
            yield Problem("roller-fact-not-read", {"what": name, "given": text})


def _value(text: str, kind: type) -> object:
    """``ValueError`` where the text is no value of the kind."""
    if kind is str:
        return "" if text == UNKNOWN else text
    if text == UNKNOWN:
        return None
    return date.fromisoformat(text) if kind is date else kind(text)
