"""Closed loops of contacts: where film can come round to the nip it left by another way."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from filmsplit.press.contacts import Contact
from filmsplit.press.press import Unit


@dataclass(frozen=True, slots=True)
class Loop:
    """A ring of members, each touching the next and the last touching the first."""

    members: tuple[str, ...]

    @property
    def through_plate(self) -> bool:
        return "plate" in self.members


@dataclass(frozen=True, slots=True)
class Loops:
    """The short rings of a train, and how many independent ones there are among rollers alone."""

    rings: tuple[Loop, ...]
    independent_rings: int
    independent_with_plate: int

    @property
    def of_rollers(self) -> tuple[Loop, ...]:
        return tuple(ring for ring in self.rings if not ring.through_plate)


def loops_of(unit: Unit) -> Loops:
    """The shortest ring through every contact, each ring once: first among rollers alone, then through the plate."""
    ids = [roller.id for roller in unit.rollers]
    alone = _Net(ids, unit.contacts)
    with_plate = _Net(["plate", *ids], unit.contacts)
    rings = dict.fromkeys(alone.rings())
    rings.update(dict.fromkeys(ring for ring in with_plate.rings() if ring.through_plate))
    return Loops(tuple(rings), alone.independent(), with_plate.independent())


class _Net:
    """Members and the contacts between them, a contact written twice counting once."""

    def __init__(self, ids: list[str], contacts: Iterable[Contact]) -> None:
        self._rank = {id: rank for rank, id in enumerate(ids)}
        self._beside: dict[str, list[str]] = {id: [] for id in ids}
        for contact in contacts:
            if self._joins_two(contact) and contact.b not in self._beside[contact.a]:
                self._beside[contact.a].append(contact.b)
                self._beside[contact.b].append(contact.a)

    def _joins_two(self, contact: Contact) -> bool:
        return contact.a != contact.b and contact.a in self._beside and contact.b in self._beside

    def _pairs(self) -> list[tuple[str, str]]:
        return [(a, b) for a in self._beside for b in self._beside[a] if self._rank[a] < self._rank[b]]

    def independent(self) -> int:
        """Contacts - members + separate pieces: how many contacts could go without cutting the train in two."""
        return len(self._pairs()) - len(self._beside) + self._pieces()

    def _pieces(self) -> int:
        unseen, pieces = set(self._beside), 0
        while unseen:
            pieces += 1
            waiting = [unseen.pop()]
            while waiting:
                near = [id for id in self._beside[waiting.pop()] if id in unseen]
                unseen.difference_update(near)
                waiting.extend(near)
        return pieces

    def rings(self) -> list[Loop]:
        found = (self._ring(a, b) for a, b in self._pairs())
        return [self._in_order(ring) for ring in found if ring is not None]

    def _ring(self, start: str, end: str) -> tuple[str, ...] | None:
        """The shortest way from ``start`` to ``end`` that does not use their own contact."""
        came_from: dict[str, str | None] = {start: None}
        waiting = deque([start])
        while waiting and end not in came_from:
            here = waiting.popleft()
            for there in self._beside[here]:
                if there not in came_from and {here, there} != {start, end}:
                    came_from[there] = here
                    waiting.append(there)
        if end not in came_from:
            return None
        ring, here_or_none = [], end
        while here_or_none is not None:
            ring.append(here_or_none)
            here_or_none = came_from[here_or_none]  # type: ignore[assignment]
        return tuple(ring)

    def _in_order(self, ring: tuple[str, ...]) -> Loop:
        """One writing for each ring: from its first member in file order, towards its earlier neighbour."""
        first = min(range(len(ring)), key=lambda place: self._rank[ring[place]])
        turned = ring[first:] + ring[:first]
        back = (turned[0], *reversed(turned[1:]))
        return Loop(min(turned, back, key=lambda way: self._rank[way[1]]))
