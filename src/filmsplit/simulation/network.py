"""A train as loops of surface joined at nips: what is solved, in millimetres and with no machine behind it.

Every length round a loop is *press travel*: the distance press surfaces move while the loop's surface passes. Films
travel round a loop from nip to nip unchanged, so the description below is complete. It is frozen; a solve never
writes into it. One network carries one liquid; a second liquid is a second network over the same loops.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum

Profile = float | tuple[tuple[float, float], ...]
"""One value, or (place across in mm, value) points with straight lines between and the ends held."""


class LoopRole(Enum):
    """What a loop of surface is. Plate and blanket films are per image area."""

    ROLLER = "roller"
    PLATE = "plate"
    BLANKET = "blanket"


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """Sideways movement: stroke/2 sin(2 pi travel/(cycle x plate) + phase), + to the gear side."""

    stroke_mm: float
    cycle_rev: float
    phase_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """A closed surface. ``face_mm`` = where its face begins and ends across, at mid-stroke (``None``: everywhere).

    ``speed`` is its surface speed over press speed: a loop of circumference C has the length C / speed in travel.
    """

    id: str
    length_mm: float
    role: LoopRole = LoopRole.ROLLER
    face_mm: tuple[float, float] | None = None
    swing: Swing | None = None
    speed: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A nip's place on a loop: travel from the loop's own origin, going with the rotation."""

    loop: str
    at_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Nip:
    """Two loops meet. ``share`` of the ink leaves on ``a``; where the loops slip it follows from their speeds.

    ``contact`` is the exchange share across, 1 for a perfect contact. A nip of a roller with the plate is a form
    nip, of plate with blanket a transfer nip.
    """

    a: Place
    b: Place
    share: float = 0.5
    contact: Profile = 1.0
    slips: bool = False

    @property
    def id(self) -> str:
        return f"{self.a.loop}/{self.b.loop}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FountainFeed:
    """Continuous feed: a fountain roller at ``speed_ratio`` of press speed slips on the loop, its film set by keys."""

    id: str
    at: Place
    speed_ratio: float
    face_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FluxFeed:
    """A given film is added to what passes."""

    id: str
    at: Place
    face_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctorFeed:
    """The loop ``fountain.loop`` commutes: it turns only by the sweep on the fountain and while it is on the train.

    A cycle begins with the dwell on the fountain; the two flights are equally long. ``phase_deg`` moves the cycle
    forward in travel.
    """

    id: str
    fountain: Place
    cycle_rev: float
    dwell_feed_mm: float
    dwell_train_mm: float
    phase_deg: float = 0.0
    face_mm: tuple[float, float] | None = None


Feed = FountainFeed | FluxFeed | DuctorFeed


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """A whole train. ``sheet`` is where the sheet meets the blanket (``None``: nothing is taken off).

    At travel 0 the leading image edge stands at the plate loop's origin, so the first form nip is best put there.
    ``cycles_pulled`` says by what part a cycle was changed so that all divide a common period (0: none was), and
    ``true_cycles`` holds the true one of each loop or feed whose cycle was.
    """

    id: str
    plate_mm: float
    loops: tuple[Loop, ...]
    nips: tuple[Nip, ...]
    feeds: tuple[Feed, ...] = ()
    sheet: Place | None = None
    cycles_pulled: float = 0.0
    true_cycles: tuple[tuple[str, float], ...] = ()

    def loop(self, id: str) -> Loop:
        """The loop called ``id``; ``KeyError`` if there is none."""
        for loop in self.loops:
            if loop.id == id:
                return loop
        raise KeyError(id)

    def role_of(self, nip: Nip) -> tuple[LoopRole, LoopRole]:
        return self.loop(nip.a.loop).role, self.loop(nip.b.loop).role


FRACTIONS = frozenset({"share", "contact"})
POSITIVE = frozenset({"plate_mm", "length_mm", "speed", "cycle_rev", "speed_ratio"})
NOT_NEGATIVE = frozenset({"stroke_mm", "dwell_feed_mm", "dwell_train_mm"})


def unsound(network: Network) -> list[str]:
    """Where a number in a description is none, or lies outside what it can be; empty where all is well."""
    return [f"{where} is {value}" for where, name, value in _numbers(network, "network") if not _possible(name, value)]


def _possible(name: str, value: float) -> bool:
    if name in FRACTIONS:
        return 0.0 <= value <= 1.0
    if name in POSITIVE:
        return 0.0 < value < math.inf
    return 0.0 <= value < math.inf if name in NOT_NEGATIVE else math.isfinite(value)


def _numbers(part: object, where: str, name: str = "") -> Iterator[tuple[str, str, float]]:
    """Every number in a part of a description: where it stands, the name of its field, and what it is.

    Of points across only the values count as such; their places are plain numbers.
    """
    if is_dataclass(part):
        id = getattr(part, "id", where)
        for field in fields(part):
            yield from _numbers(getattr(part, field.name), f"{id} {field.name}", field.name)
    elif isinstance(part, tuple):
        for item in part:
            if name == "contact":
                yield from ((where, "", item[0]), (where, name, item[1]))
            else:
                yield from _numbers(item, where)
    elif isinstance(part, float | int):
        yield where, name, float(part)
