"""Changes of the shop's press files, as they are told beside what is on record."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.actions.press_changes import EARLIER
from filmsplit.actions.shop import Shop, kept_presses
from filmsplit.formats.press_earlier import Version, earlier_of, told
from filmsplit.messages import Refusal
from filmsplit.records.history import Wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class PressChange:
    """One change of a press file; ``name`` is the file's, ``undone`` whether it stands no longer."""

    name: str
    press: str
    version: Version
    undone: bool


def press_changes(shop: Shop, wanted: Wanted) -> tuple[PressChange, ...]:
    """The newest changes that are wanted by press, person and day. What is wanted by kind or roller has none.

    A file whose earlier texts are torn says so where the press is described; here it has none to tell.
    """
    if wanted.kind or wanted.roller:
        return ()
    found = (each for each in _changes(shop) if _is_wanted(each, wanted))
    return tuple(heapq.nlargest(wanted.most, found, key=lambda each: each.version.at))


def _changes(shop: Shop) -> Iterator[PressChange]:
    for kept in kept_presses(shop):
        try:
            earlier = earlier_of(shop.folder / EARLIER / f"{kept.path.stem}.json")
        except Refusal:
            continue
        press = kept.name if kept.press is None else kept.press.id
        for version, undone in told(earlier):
            yield PressChange(name=kept.name, press=press, version=version, undone=undone)


def _is_wanted(change: PressChange, wanted: Wanted) -> bool:
    day = change.version.at[: len("2026-01-01")]
    return (
        wanted.press in ("", change.press)
        and wanted.person in ("", change.version.person)
        and (not wanted.since or day >= wanted.since)
        and (not wanted.until or (day != "" and day <= wanted.until))
    )
