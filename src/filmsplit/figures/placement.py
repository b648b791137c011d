"""Where labels go: beside what they name, never over another label, another circle, or the edge of the page."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.figures.boxes import Box, Disc, Spot, lines_cross, on_circle
from filmsplit.figures.grid import Grid

_DISTANCES_MM = (1.4, 3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0, 40.0)
_CLEAR_MM = 0.6
_NO_LEADER_MM = 1.8
_NO_LEADER_AT_NIP_MM = 3.4
_SIGN_REACH_MM = 2.3
_NEAR_MM = tuple(3.0 + 0.6 * i for i in range(18))
_FAR_MM = tuple(14.0 + 1.0 * i for i in range(16))
_LEANS_DEG = (0, 6, -6, 12, -12, 18, -18, 26, -26)
_DEPTHS_MM = (2.8, 3.6, 4.4, 5.4, 6.6)
_INSIDE_LEANS_DEG = (0, 20, -20, 40, -40, 55, -55)
_CROWD_MM = 10.0
_SORTED_TO_MM = 4.0
"""Places round a circle come in order of cost, give or take this."""
_MARGIN_COSTS_MM = 12.0
_CROSSED_DISC_COSTS_MM = 25.0
_CROSSED_LEADER_COSTS_MM = 40.0
_WAYS = tuple((math.cos(math.radians(angle)), math.sin(math.radians(angle))) for angle in range(0, 360, 15))


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that found its place; ``leader`` runs from the box to what it names, ``None`` where they touch."""

    box: Box
    leader: tuple[Spot, Spot] | None
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class Site:
    """A nip that wants its figure: where, the angle from one axis to the other, the figure's size, the two circles."""

    at: Spot
    across_deg: float
    size: tuple[float, float]
    pair: tuple[Disc, Disc]


class Board:
    """The paper while labels are being placed: what is taken, what must not be covered."""

    def __init__(self, page: Box, discs: list[Disc]) -> None:
        self.page = page
        self.discs = discs
        self.leaders: list[tuple[Spot, Spot]] = []
        self._taken, self._lettered, self._worded = Grid(page), Grid(page), Grid(page)
        for disc in discs:
            self._taken.take_disc(disc)

    def take(self, box: Box, *, words: bool = True) -> None:
        """Mark ``box`` as taken: by ``words`` or signs no leader may cross, or by a line it may."""
        for grid in (self._taken, self._lettered, self._worded) if words else (self._taken, self._lettered):
            grid.take_box(box)

    def take_placed(self, placed: Placed) -> Placed:
        """Mark a found place and its leader as taken."""
        self.take(placed.box)
        if placed.leader is not None:
            self.leaders.append(placed.leader)
            self._taken.take_line(*placed.leader)
            self._lettered.take_line(*placed.leader)
        return placed

    def is_free(self, box: Box, *, inside: bool = False) -> bool:
        """Whether ``box`` is on the page and in nobody's way; ``inside`` a circle only words and leaders count."""
        grid = self._lettered if inside else self._taken
        return box.within(self.page) and grid.is_free(box.grown(_CLEAR_MM))

    def leader_cost(self, start: Spot, end: Spot, *, own: tuple[Disc, ...]) -> float:
        """What a leader costs by the lines and circles it crosses; infinite where it would run through words."""
        if not self._worded.is_clear(start, end):
            return math.inf
        cost = _CROSSED_LEADER_COSTS_MM * sum(lines_cross((start, end), leader) for leader in self.leaders)
        return cost + sum(
            _CROSSED_DISC_COSTS_MM + disc.r for disc in self.discs if disc.cut_by(start, end) and disc not in own
        )

    def crowding(self, disc: Disc) -> int:
        """How many other circles stand close round ``disc``."""
        return sum(math.dist(disc[:2], other[:2]) < disc.r + other.r + _CROWD_MM for other in self.discs) - 1

    def find_beside(self, disc: Disc, size: tuple[float, float], *, own: tuple[Disc, ...] = ()) -> Placed | None:
        """The cheapest free place for a label beside ``disc``; ``None`` if there is none.

        ``own`` are circles its leader may cross for nothing, besides ``disc``.
        """
        best: Placed | None = None
        least = math.inf
        for base, box, foot in self._around(disc, size):
            if base >= least:
                if base >= least + _SORTED_TO_MM:
                    break
                continue
            if not self.is_free(box):
                continue
            near = box.nearest(foot)
            cost = base + self.leader_cost(near, foot, own=(disc, *own))
            if cost < least:
                touching = math.dist(near, foot) <= _NO_LEADER_MM
                best, least = Placed(box, None if touching else (near, foot), cost), cost
        return best

    def _around(self, disc: Disc, size: tuple[float, float]) -> Iterator[tuple[float, Box, Spot]]:
        """Places round a circle, nearest first: cost so far, the box, and the foot of its leader on the rim."""
        width, height = size
        for distance in _DISTANCES_MM:
            for level, rise in _WAYS:
                reach = disc.r + distance
                x, y = disc.x + reach * level, disc.y - reach * rise
                left = x - width * (1 - level) / 2 if abs(level) < 0.5 else (x if level > 0 else x - width)
                top = y - height / 2 - height / 2 * rise
                foot = (disc.x + disc.r * level, disc.y - disc.r * rise)
                yield distance + (1 - abs(level)) * 1.5, Box(left, top, left + width, top + height), foot
        yield from self._margins(disc, size)

    def _margins(self, disc: Disc, size: tuple[float, float]) -> Iterator[tuple[float, Box, Spot]]:
        """The two columns at the edges of the page, every few millimetres."""
        width, height = size
        for left in (self.page.left, self.page.right - width):
            top = self.page.top
            while top + height <= self.page.bottom:
                box = Box(left, top, left + width, top + height)
                near = box.nearest((disc.x, disc.y))
                far = max(math.dist(near, disc[:2]), 1e-6)
                part = disc.r / far
                foot = (disc.x + (near[0] - disc.x) * part, disc.y + (near[1] - disc.y) * part)
                yield _MARGIN_COSTS_MM + far - disc.r, box, foot
                top += 4.0

    def place_at_nip(self, site: Site) -> Placed | None:
        """A place for the figure of a nip: in the open wedge beside it, else at the rim inside one of the two."""
        for box, inside in _nip_places(site):
            if not self.is_free(box, inside=inside):
                continue
            near = box.nearest(site.at)
            far = math.dist(near, site.at)
            if far <= _NO_LEADER_AT_NIP_MM:
                return self.take_placed(Placed(box, None))
            foot = _part_way(site.at, near, _SIGN_REACH_MM / far)
            if self.leader_cost(near, foot, own=site.pair) == 0:
                return self.take_placed(Placed(box, (near, foot)))
        return None


def _part_way(start: Spot, end: Spot, part: float) -> Spot:
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _nip_places(site: Site) -> Iterator[tuple[Box, bool]]:
    """Places for the figure of a nip, nearest first: along both wedges, then inside, then farther along the wedges."""
    yield from _wedge_places(site, _NEAR_MM)
    yield from _inside_places(site)
    yield from _wedge_places(site, _FAR_MM)


def _wedge_places(site: Site, distances: tuple[float, ...]) -> Iterator[tuple[Box, bool]]:
    for distance in distances:
        for lean in _LEANS_DEG:
            for side in (90, -90):
                yield _box_about(on_circle(site.at, distance, site.across_deg + side + lean), site.size), False


def _inside_places(site: Site) -> Iterator[tuple[Box, bool]]:
    """Places at the rim inside one of the two circles, the larger first."""
    first, second = site.pair
    ordered = ((first, 180.0), (second, 0.0)) if first.r >= second.r else ((second, 0.0), (first, 180.0))
    for disc, turn in ordered:
        for depth in _DEPTHS_MM:
            for lean in _INSIDE_LEANS_DEG:
                box = _box_about(on_circle(site.at, depth, site.across_deg + turn + lean), site.size)
                if disc.holds(box.grown(0.4)):
                    yield box, True


def _box_about(middle: Spot, size: tuple[float, float]) -> Box:
    half_w, half_h = size[0] / 2, size[1] / 2
    return Box(middle[0] - half_w, middle[1] - half_h, middle[0] + half_w, middle[1] + half_h)
