"""Who reads in this shop: names on record, so that nobody has to type theirs with inky hands."""

from __future__ import annotations

from filmsplit.actions.register import Daybook, looking
from filmsplit.records.rounds import names_on_record

MOST_NAMES = 8


def people(book: Daybook) -> tuple[str, ...]:
    """The names under which something was read last, by alphabet. A shop without records has none."""
    if not book.records.exists():
        return ()
    with looking(book) as connection:
        return tuple(sorted(names_on_record(connection, most=MOST_NAMES)))
