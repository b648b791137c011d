"""The ways ink and water take from fountain or pan, roller by roller, to the plate."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from filmsplit.press.contacts import Contact
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import MotionKind, Role, System

MOST_PATHS = 200
"""No more paths than this are listed; a train of a small press has a few dozen at most."""

MOST_STEPS = 20_000
"""The search gives up after this many steps, so that a strange file cannot hold the tool up."""


@dataclass(frozen=True, slots=True)
class Path:
    """One way for a liquid: the rollers in turn, and the nips it passes, the one with the plate last."""

    rollers: tuple[str, ...]
    nips: tuple[str, ...]
    ducts: bool
    bridges: tuple[str, ...]

    @property
    def form(self) -> str:
        """The form roller that hands the liquid to the plate."""
        return self.rollers[-1]


@dataclass(frozen=True, slots=True)
class FormSupply:
    """How one form roller is reached: by how many ways, and over how few nips (the plate's included)."""

    form: str
    ways: int
    fewest_nips: int


@dataclass(frozen=True, slots=True)
class Paths:
    """All ways found for one liquid, shortest first. ``complete`` is false where the search was cut short."""

    liquid: System
    sources: tuple[str, ...]
    paths: tuple[Path, ...]
    complete: bool

    @property
    def shortest(self) -> Path | None:
        return self.paths[0] if self.paths else None

    @property
    def supplies(self) -> tuple[FormSupply, ...]:
        """The form rollers reached, nearest first."""
        ways: dict[str, list[int]] = {}
        for path in self.paths:
            ways.setdefault(path.form, []).append(len(path.nips))
        return tuple(FormSupply(form, len(nips), min(nips)) for form, nips in ways.items())

    @property
    def parallel(self) -> tuple[FormSupply, ...]:
        """The form rollers that more than one way leads to: ink of different age meets there."""
        return tuple(supply for supply in self.supplies if supply.ways > 1)


def carries(roller: Roller, liquid: System) -> bool:
    """Whether a roller belongs to the system of ``liquid`` (shared rollers belong to both)."""
    return roller.system in (liquid, System.SHARED)


def sources_of(unit: Unit, liquid: System) -> tuple[str, ...]:
    """Where a liquid enters: the ink fountain roller, or the pan rollers."""
    if liquid is System.INK and unit.fountain is not None:
        return (unit.fountain.roller,)
    roles = (Role.FOUNTAIN,) if liquid is System.INK else (Role.PAN, Role.FOUNTAIN)
    for role in roles:
        found = tuple(roller.id for roller in unit.rollers if roller.role is role and carries(roller, liquid))
        if found:
            return found
    return ()


def paths_of(unit: Unit, liquid: System, *, contacts: Iterable[Contact] | None = None) -> Paths:
    """Every way of ``liquid`` to the plate without meeting a roller twice, over all contacts or those given.

    A liquid stays on the rollers of its own system and shared ones. Where it steps over to the other system (from a
    bridge, or a pan that feeds an ink form roller) it is followed to the first form roller there and no further; so is
    water to the first shared form roller. What it does beyond that, it does as an emulsion.
    """
    search = _Search(unit, liquid, contacts=unit.contacts if contacts is None else contacts)
    sources = sources_of(unit, liquid)
    found, complete = search.run(sources)
    return Paths(liquid, sources, found, complete)


class _Search:
    """Breadth first, so that the shortest ways come first and survive when the search is cut short."""

    def __init__(self, unit: Unit, liquid: System, *, contacts: Iterable[Contact]) -> None:
        self._rollers = {roller.id: roller for roller in unit.rollers}
        self._liquid = liquid
        self._onward: dict[str, list[tuple[str, str]]] = {id: [] for id in self._rollers}
        self._plate_nip: dict[str, str] = {}
        for contact in contacts:
            for here in (contact.a, contact.b):
                self._add(here, contact)

    def _add(self, here: str, contact: Contact) -> None:
        there = contact.other(here)
        if here in self._rollers and there == "plate":
            self._plate_nip[here] = contact.id
        elif here in self._rollers and there in self._rollers:
            self._onward[here].append((there, contact.id))

    def run(self, sources: tuple[str, ...]) -> tuple[tuple[Path, ...], bool]:
        found: list[Path] = []
        waiting: deque[tuple[tuple[str, ...], tuple[str, ...]]] = deque()
        waiting.extend(((source,), ()) for source in sources if source in self._rollers)
        for _ in range(MOST_STEPS):
            if not waiting or len(found) >= MOST_PATHS:
                break
            rollers, nips = waiting.popleft()
            if rollers[-1] in self._plate_nip:
                found.append(self._path(rollers, (*nips, self._plate_nip[rollers[-1]])))
            waiting.extend(((*rollers, there), (*nips, nip)) for there, nip in self._next(rollers))
        return tuple(found), not waiting

    def _next(self, rollers: tuple[str, ...]) -> list[tuple[str, str]]:
        here = rollers[-1]
        crossed = not carries(self._rollers[here], self._liquid)
        if here in self._plate_nip and (crossed or self._mixes(here)):
            return []
        onward = (step for step in self._onward[here] if step[0] not in rollers)
        return [step for step in onward if not (crossed and self._rollers[step[0]].system is self._liquid)]

    def _mixes(self, id: str) -> bool:
        """Whether water meets ink here."""
        return self._liquid is System.DAMPENING and self._rollers[id].system is System.SHARED

    def _path(self, rollers: tuple[str, ...], nips: tuple[str, ...]) -> Path:
        members = [self._rollers[id] for id in rollers]
        return Path(
            rollers=rollers,
            nips=nips,
            ducts=any(member.motion.kind is MotionKind.DUCTS for member in members),
            bridges=tuple(member.id for member in members if member.role is Role.BRIDGE),
        )
