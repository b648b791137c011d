"""The way of ink and of water over the surfaces: film rides on each roller with its turn, from nip to nip."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from filmsplit.figures.boxes import Spot
from filmsplit.figures.classes import PATHS, PathKind
from filmsplit.figures.drawing import element, num
from filmsplit.figures.signs import arrow_head
from filmsplit.figures.stage import Body, Stage, blade_deg
from filmsplit.press.paths import paths_of
from filmsplit.press.words import System

_LIQUIDS = {PathKind.INK: System.INK, PathKind.WATER: System.DAMPENING}
_WATER_INSET_MM = 1.0
_HEAD_EVERY_MM = 30.0


@dataclass(frozen=True, slots=True)
class Ride:
    """Part of a surface the film rides on: from ``start_deg``, ``sweep_deg`` on with the turn (signed)."""

    body: Body
    start_deg: float
    sweep_deg: float
    inset: float

    def at(self, part: float) -> Spot:
        return self.body.at(self.start_deg + self.sweep_deg * part, inset=self.inset)

    @property
    def length_mm(self) -> float:
        return abs(self.sweep_deg) / 57.29578 * self.body.r


def rides_of(stage: Stage, kind: PathKind) -> list[Ride]:
    """Every ride of one liquid, along the shortest ways to each form roller, and on to plate, blanket and sheet."""
    ways = _ways(stage, kind)
    steps = {(a, b) for way in ways for a, b in pairwise(way)}
    if kind is PathKind.INK and steps:
        steps |= {("plate", "blanket"), ("blanket", "impression")}
    inked = set() if kind is PathKind.INK else {id for way in _ways(stage, PathKind.INK) for id in way}
    rides = []
    for id, body in stage.bodies.items():
        into = [body.towards(stage.bodies[a]) for a, b in sorted(steps) if b == id]
        out = [body.towards(stage.bodies[b]) for a, b in sorted(steps) if a == id]
        if out and body.sense:
            inset = _WATER_INSET_MM if id in inked else 0.0
            rides += _rides_on(body, into or [_start(stage, body, kind)], out, inset=inset)
    return rides


def _ways(stage: Stage, kind: PathKind) -> list[tuple[str, ...]]:
    paths = paths_of(stage.unit, _LIQUIDS[kind])
    fewest = {supply.form: supply.fewest_nips for supply in paths.supplies}
    drawn = [path for path in paths.paths if len(path.nips) == fewest[path.form]]
    return [(*path.rollers, "plate") for path in drawn if all(id in stage.bodies for id in path.rollers)]


def _start(stage: Stage, body: Body, kind: PathKind) -> float:
    """Where the film begins: behind the blade, or at the bottom of the pan."""
    return 270.0 if kind is PathKind.WATER else blade_deg(stage, body)


def _rides_on(body: Body, into: list[float], out: list[float], *, inset: float) -> list[Ride]:
    """The longest ride from each nip the film comes in by; rides that lie within another are left out."""
    rides: list[Ride] = []
    found = [(angle, max((o - angle) * body.sense % 360 for o in out)) for angle in into]
    for angle, sweep in sorted(found, key=lambda pair: -pair[1]):
        if not any((angle - r.start_deg) * body.sense % 360 + sweep <= abs(r.sweep_deg) + 1e-6 for r in rides):
            rides.append(Ride(body, angle, sweep * body.sense, inset))
    return rides


def draw_rides(rides: list[Ride], kind: PathKind) -> list[str]:
    """The rides of one liquid as arrowed lines."""
    look = PATHS[kind]
    if look.stroke is None:
        return []
    parts = []
    for ride in rides:
        parts.append(
            element(
                "path",
                d=_arc(ride),
                fill="none",
                stroke=look.colour,
                stroke_width=look.stroke.width_mm,
                stroke_dasharray=look.stroke.dasharray,
                stroke_linecap="butt" if look.stroke.dashes_mm else None,
            )
        )
        heads = max(1, round(ride.length_mm / _HEAD_EVERY_MM)) if ride.length_mm > 5 else 0
        parts += [_head(ride, (i + 0.5) / heads, look.colour) for i in range(heads)]
    return parts


def _arc(ride: Ride) -> str:
    (x0, y0), (xm, ym), (x1, y1) = ride.at(0), ride.at(0.5), ride.at(1)
    r, side = num(ride.body.r - ride.inset), 0 if ride.sweep_deg > 0 else 1
    half = f"A{r} {r} 0 0 {side}"
    return f"M{num(x0)} {num(y0)}{half} {num(xm)} {num(ym)}{half} {num(x1)} {num(y1)}"


def _head(ride: Ride, part: float, colour: str) -> str:
    way = 90.0 if ride.sweep_deg > 0 else -90.0
    size = 2.6
    lead = size * 0.5 / max(ride.body.r, 1.0) * 57.3 * (1 if ride.sweep_deg > 0 else -1)
    angle = ride.start_deg + ride.sweep_deg * part
    return arrow_head(ride.body.at(angle + lead, inset=ride.inset), angle + lead * 0.5 + way, size=size, colour=colour)
