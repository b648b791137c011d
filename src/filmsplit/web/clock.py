"""The day that the pages look at, and the records they look into."""

from __future__ import annotations

from filmsplit.actions.jobs import today
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop


def book_of(shop: Shop) -> Daybook:
    """The shop's records as of today."""
    return Daybook(shop.records, today())
