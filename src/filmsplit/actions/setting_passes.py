"""Passes of setting as the records have them: stripes read, adjusters turned, stripes read again.

What adjusters do is learned over all of them. What was believed of the contacts themselves begins anew where a roller
was changed, ground or covered, or where nobody looked for so long that covers have changed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from filmsplit.condition.setting_belief import PassDone
from filmsplit.condition.setting_group import Side
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.records.entries import Entry

REST_DAYS = 30
"""After so long without a reading covers may have swollen or shrunk, and what was believed is given up (invented)."""
CHANGES = frozenset({"regrind", "re-cover"})
KINDS = ("stripe", "adjusted", *sorted(CHANGES))
"""The kinds of entry that tell about setting."""


AFRESH = PassDone(stripes={}, turns={}, afresh=True)
"""Nothing done, and everything else than the adjusters new."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnRecord:
    """The passes of a group, then what was read last with nothing turned since, by contact.

    ``days`` are those of the last readings; ``unread`` names contacts turned and not read again; ``cold`` those whose
    last reading has no temperature and is not used.
    """

    passes: tuple[PassDone, ...] = ()
    stripes: Mapping[str, StripeRead] = field(default_factory=dict)
    days: Mapping[str, date] = field(default_factory=dict)
    unread: tuple[str, ...] = ()
    cold: tuple[str, ...] = ()


def passes_of(entries: Sequence[Entry], contacts: Sequence[str], *, rollers: frozenset[int]) -> OnRecord:
    """What ``entries`` of a unit (oldest first) tell about ``contacts``, whose places the ``rollers`` are fitted at."""
    walk = _Walk()
    for entry in entries:
        if entry.contact in contacts or (entry.kind in CHANGES and entry.roller_id in rollers):
            walk.take(entry)
    return walk.end(rollers)


@dataclass(slots=True)
class _Walk:
    """Entries one after another, gathered into passes."""

    passes: list[PassDone] = field(default_factory=list)
    stripes: dict[str, StripeRead] = field(default_factory=dict)
    turns: dict[tuple[str, Side], float] = field(default_factory=dict)
    days: dict[str, date] = field(default_factory=dict)
    fitted: dict[str, frozenset[int]] = field(default_factory=dict)
    cold: set[str] = field(default_factory=set)
    afresh: bool = False
    last: date | None = None

    def take(self, entry: Entry) -> None:
        here = frozenset(id for id in (entry.roller_id, entry.partner_id) if id is not None)
        rested = self.last is not None and (entry.day - self.last).days > REST_DAYS
        other = bool(entry.contact) and self.fitted.get(entry.contact, here) != here
        if entry.kind in CHANGES or rested or other:
            if self.turns:
                self._close(self.stripes)
            self.stripes, self.days, self.fitted, self.cold = {}, {}, {}, set()
            self.afresh = bool(self.passes)
        self.last = entry.day
        if entry.contact:
            self.fitted[entry.contact] = here
        if entry.kind == "adjusted":
            for side, turned in zip(Side, entry.values, strict=True):
                key = entry.contact, side
                self.turns[key] = self.turns.get(key, 0.0) + turned
        elif entry.kind == "stripe":
            self._read(entry)

    def _read(self, entry: Entry) -> None:
        """A reading after turns ends their pass; one more of the same contact is kept beside the first."""
        contact = entry.contact
        if self.turns:
            self._close(self.stripes)
            self.stripes, self.days = {}, {}
        elif contact in self.stripes:
            self._close({contact: self.stripes.pop(contact)})
        self.cold.discard(contact)
        self.days[contact] = entry.day
        if entry.temperature_c is None:
            self.cold.add(contact)
        else:
            self.stripes[contact] = StripeRead(widths_mm=entry.values, temperature_c=entry.temperature_c)

    def _close(self, stripes: Mapping[str, StripeRead]) -> None:
        self.passes.append(PassDone(stripes=stripes, turns=self.turns, afresh=self.afresh))
        self.turns, self.afresh = {}, False

    def end(self, rollers: frozenset[int]) -> OnRecord:
        turned = {contact for contact, _ in self.turns}
        if self.turns:
            self._close(self.stripes)
            self.stripes, self.days, self.cold = {}, {}, set()
        gone = {contact for contact, here in self.fitted.items() if not here <= rollers}
        shown = {id: read for id, read in self.stripes.items() if id not in gone}
        return OnRecord(
            passes=(*self.passes, AFRESH) if self.passes and (self.afresh or gone) else tuple(self.passes),
            stripes=shown,
            days={id: day for id, day in self.days.items() if id not in gone},
            unread=tuple(sorted(turned - gone)),
            cold=tuple(sorted(self.cold - gone)),
        )
