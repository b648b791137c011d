"""What the pages take long to find, each on its desk: made once for all who ask, and kept a while.

The desks are those of this process. Their keys begin with the path of a press, or with what came of one, so that shops
do not meet.
"""

from __future__ import annotations

from collections.abc import Hashable
from threading import BoundedSemaphore
from typing import TypeVar

from filmsplit.actions.as_found import AsFound
from filmsplit.actions.compare import Compared
from filmsplit.actions.desk import Desk, Doing, Make
from filmsplit.actions.foresee import Foreseen
from filmsplit.actions.setup import Set

Thing = TypeVar("Thing")

MOST_SHEETS = 4
"""Sheets kept, with their cures or without; a large one takes a hundred megabytes and more."""
ANSWERED_S = 0.7
"""What is there so soon is shown at once; whatever takes longer is waited for on a page that says what is done."""

JOBS: Desk[Set] = Desk(12)
"""Some megabytes each."""
SHEETS: Desk[Foreseen] = Desk(MOST_SHEETS)
FOUND: Desk[AsFound] = Desk(12)
COMPARED: Desk[Compared] = Desk(4)
_ALL = (JOBS, SHEETS, FOUND, COMPARED)

APART = BoundedSemaphore(2)
"""Turns of what is done in processes of their own: files, which may take a minute."""
HERE = BoundedSemaphore(2)
"""Turns of what is done in this process and takes seconds."""


def soon(
    desk: Desk[Thing], key: Hashable, make: Make[Thing], *, turns: BoundedSemaphore = HERE
) -> Thing | Doing[Thing]:
    """The thing where it is there at once or in a moment, else what is being done for it, to be waited for.

    :class:`Refusal` where it cannot be made.
    """
    return desk.answered(key, make, turns=turns, within_s=ANSWERED_S)


def doing_of(ticket: str) -> Doing[Set] | Doing[Foreseen] | Doing[AsFound] | Doing[Compared] | None:
    """What somebody waits for, by its ticket."""
    return next((doing for desk in _ALL if (doing := desk.by_ticket(ticket)) is not None), None)


def call_off(ticket: str) -> None:
    """End what is done for a ticket."""
    for desk in _ALL:
        desk.call_off(ticket)
