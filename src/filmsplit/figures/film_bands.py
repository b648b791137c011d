"""The band that stands for a film: how thick it is drawn, and where it lies between two contacts of a member."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from filmsplit.figures.boxes import Spot, on_circle
from filmsplit.figures.stage import Body, Stage, gap_span_deg
from filmsplit.press import Cylinder

MOST_MM, LEAST_MM = 2.4, 0.25
"""On paper: the band of the thickest film, and the least a band can be and still be seen."""
LINEAR_TO = 50.0
"""With films farther apart than this, in proportion, a linear scale would show only the thick ones."""
_STEP_DEG = 2.0
_SHEET, _IMPRESSION = "sheet", "impression"


class Film(Protocol):
    """A film on the way from one contact of a member to the next: partners by id, the feed's name, or the sheet."""

    @property
    def loop(self) -> str: ...
    @property
    def start(self) -> str: ...
    @property
    def end(self) -> str: ...
    @property
    def length_mm(self) -> float: ...
    @property
    def film_um(self) -> float: ...


@dataclass(frozen=True, slots=True)
class BandScale:
    """How a film becomes a band: in proportion, or by its square root where films are too far apart for that."""

    most_um: float
    root: bool

    def thickness_mm(self, film_um: float) -> float:
        """Band on paper for a film; nothing for no film, never thinner than can be seen."""
        if film_um <= 0 or self.most_um <= 0:
            return 0.0
        part = min(film_um / self.most_um, 1.0)
        return max(LEAST_MM, MOST_MM * (math.sqrt(part) if self.root else part))


def scale_for(films_um: Iterable[float]) -> BandScale:
    """The scale on which the thickest of the films fills the room there is."""
    films = [film for film in films_um if film > 0]
    if not films:
        return BandScale(0.0, root=False)
    return BandScale(max(films), root=max(films) > LINEAR_TO * min(films))


@dataclass(frozen=True, slots=True)
class Band:
    """A film on paper. ``start_deg`` to ``end_deg`` runs anticlockwise whichever way the member turns."""

    body: Body
    film_um: float
    start_deg: float
    end_deg: float
    gap: tuple[float, float] | None
    """Middle and half width of the member's gap, degrees."""
    inner: tuple[Spot, ...]
    outer: tuple[Spot, ...]
    thickness_mm: float

    @property
    def middle_deg(self) -> float:
        return (self.start_deg + self.end_deg) / 2

    @property
    def length_mm(self) -> float:
        """On paper, along the surface."""
        return math.radians(self.end_deg - self.start_deg) * self.body.r


def bands_of(
    stage: Stage, films: Iterable[Film], scale: BandScale, *, feed: str, gaps: Mapping[str, float]
) -> list[Band]:
    """A band for every film of a member that is drawn; a member met by nothing that is drawn gives none.

    ``feed`` is the name films give to the ink feed; ``gaps`` are the places of the cylinders' gaps, degrees.
    """
    bands = []
    for film in films:
        body = stage.bodies.get(film.loop)
        ends = [_partner(stage, end, feed=feed) for end in (film.start, film.end)]
        if body is None or not body.sense or ends[0] is None or ends[1] is None or film.length_mm <= 0:
            continue
        start, end = (body.towards(partner) for partner in ends if partner is not None)
        if body.sense < 0:
            start, end = end, start
        span = (end - start) % 360 or 360.0
        thickness = scale.thickness_mm(film.film_um)
        gap = _gap(body, gaps, (start, span))
        outline = _outline(stage, body, (start, span), thickness=thickness, gap=gap)
        bands.append(Band(body, film.film_um, start, start + span, gap, *outline, thickness))
    return bands


def _partner(stage: Stage, name: str, *, feed: str) -> Body | None:
    if name == _SHEET:
        return stage.bodies.get(_IMPRESSION)
    fountain = stage.unit.fountain
    if name == feed and name not in stage.bodies and fountain is not None:
        return stage.bodies.get(fountain.roller)
    return stage.bodies.get(name)


def _gap(body: Body, gaps: Mapping[str, float], arc: tuple[float, float]) -> tuple[float, float] | None:
    """Middle and half width of a cylinder's gap, degrees; ``None`` where it would take more than half of the arc.

    The gap goes round and the films are means over what passes: a band across it tells more than none at all.
    """
    if not isinstance(body.member, Cylinder) or body.id not in gaps:
        return None
    gap = (gaps[body.id], gap_span_deg(body.member) / 2)
    steps = [arc[0] + arc[1] * (k + 0.5) / 60 for k in range(60)]
    return None if sum(is_over(gap, angle) for angle in steps) > 30 else gap


def _outline(
    stage: Stage, body: Body, arc: tuple[float, float], *, thickness: float, gap: tuple[float, float] | None
) -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """Points on the surface and on the outside of the band, from start to end."""
    start, span = arc
    steps = max(2, math.ceil(span / _STEP_DEG))
    inner, outer = [], []
    for k in range(steps + 1):
        angle = start + span * k / steps
        inner.append(body.at(angle))
        room = 0.0 if is_over(gap, angle) else min(thickness, room_mm(stage, body, angle))
        outer.append(on_circle((body.x, body.y), body.r + room, angle))
    return tuple(inner), tuple(outer)


def is_over(gap: tuple[float, float] | None, angle_deg: float, *, margin_deg: float = 0.0) -> bool:
    """Whether an angle lies over the gap, or within the margin beside it."""
    return gap is not None and abs((angle_deg - gap[0] + 180) % 360 - 180) < gap[1] + margin_deg


def room_mm(stage: Stage, body: Body, angle_deg: float) -> float:
    """How far out a ray runs before it is as near to another member's surface: so bands never lie on each other."""
    turn = math.radians(angle_deg)
    way = math.cos(turn), -math.sin(turn)
    least = math.inf
    for other in stage.bodies.values():
        if other is not body:
            least = min(least, _half_way(body, other, way))
    return max(0.0, least)


def _half_way(body: Body, other: Body, way: Spot) -> float:
    """Where |p - other| - other.r = |p - body| - body.r on the ray: it meets that hyperbola once or not at all."""
    dx, dy = body.x - other.x, body.y - other.y
    extra = other.r - body.r
    slope = extra - (dx * way[0] + dy * way[1])
    if slope <= 0:
        return math.inf
    return (dx * dx + dy * dy - extra * extra) / (2 * slope) - body.r
