"""Look up words of the trade."""

from __future__ import annotations

from filmsplit.library.glossary import Entry, search


def look_up(query: str, *, most: int = 8) -> tuple[Entry, ...]:
    """The glossary entries nearest to ``query``, best first, no more than ``most``."""
    return search(query)[:most]
