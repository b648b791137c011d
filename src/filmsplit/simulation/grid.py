"""Cells round and columns across, profiles put on them, and the choice of their size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, label
from filmsplit.simulation.network import DuctorFeed, Network, Profile

ACCURACY = 0.03
"""Part by which a length that matters may be misjudged, unless the caller says otherwise."""

MOST_CELLS = 1_000_000
"""Cells of all loops together that are affordable by default: some tenths of a second for a settled state."""

SAME_PLACE_MM = 1.0
"""Nips nearer to each other than this on a loop are taken to lie on one place: no cell can part them."""

FACE_PARTS = 24
"""Columns at least, where nothing else asks for them."""


class Cause(Enum):
    """What decided a cell's size: the slug of the message that says so."""

    ASKED = "grid-size-asked"
    ARC = "grid-size-by-arc"
    GAP = "grid-size-by-gap"
    DWELL = "grid-size-by-dwell"
    STROKE = "grid-size-by-stroke"
    ZONE = "grid-size-by-zone"
    FACE = "grid-size-by-face"
    CELLS = "grid-size-by-cells"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Why cells have their size in one direction: ``length_mm`` is the arc, gap, stroke, ... that decided."""

    across: bool
    size_mm: float
    cause: Cause
    length_mm: float = 0.0

    @property
    def problem(self) -> Problem:
        """The reason as a message for a person."""
        direction = label("grid.across") if self.across else label("grid.round")
        values = {"direction": direction, "size_mm": self.size_mm, "length_mm": self.length_mm}
        return Problem(self.cause.value, values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """``rows`` cells of equal length round the plate, ``columns`` of equal width over ``width_mm`` across.

    ``reason`` says why the cells have this size, round and across (empty: they were asked for).
    """

    plate_mm: float
    width_mm: float
    rows: int
    columns: int
    reason: tuple[Choice, ...] = ()

    @property
    def round_mm(self) -> float:
        return self.plate_mm / self.rows

    @property
    def across_mm(self) -> float:
        return self.width_mm / self.columns

    @property
    def cell_mm2(self) -> float:
        return self.round_mm * self.across_mm

    @property
    def centres_mm(self) -> Array:
        """Middle of each column, from the operator's side."""
        return np.asarray((np.arange(self.columns) + 0.5) * self.across_mm, dtype=np.float64)

    def cells(self, length_mm: float) -> int:
        """Whole cells nearest to a length round a loop."""
        return round(length_mm / self.round_mm)

    def columns_within(self, span_mm: tuple[float, float] | None) -> tuple[int, int]:
        """First column and the one after the last whose middle lies in ``span_mm``."""
        if span_mm is None:
            return 0, self.columns
        first = math.ceil(span_mm[0] / self.across_mm - 0.5)
        end = math.ceil(span_mm[1] / self.across_mm - 0.5)
        return max(0, first), min(self.columns, max(end, first, 0))

    def profile(self, profile: Profile) -> Array:
        """A profile at the middle of each column."""
        if isinstance(profile, int | float):
            return np.full(self.columns, float(profile))
        places, values = zip(*profile, strict=True)
        return np.asarray(np.interp(self.centres_mm, places, values), dtype=np.float64)


def grid_of(
    plate_mm: float, width_mm: float, *, round_mm: float, across_mm: float, reason: tuple[Choice, ...] = ()
) -> Grid:
    """The grid whose cells come nearest to the sizes asked for, with whole cells round the plate and across."""
    rows, columns = max(1, round(plate_mm / round_mm)), max(1, round(width_mm / across_mm))
    return Grid(plate_mm=plate_mm, width_mm=width_mm, rows=rows, columns=columns, reason=reason)


def automatic_grid(  # noqa: PLR0913  (all but the network are named, and most have defaults)
    network: Network,
    *,
    width_mm: float,
    accuracy: float = ACCURACY,
    cells_most: int = MOST_CELLS,
    round_mm: float | None = None,
    across_mm: float | None = None,
    gap_mm: float | None = None,
    zone_mm: float | None = None,
) -> Grid:
    """A grid with its reasons. ``round_mm`` and ``across_mm`` are the caller's own sizes and are kept.

    Round, places come to whole cells, so a length is off by up to half a cell: the cell is at most twice ``accuracy``
    of the shortest arc, dwell or gap. Across, the error goes with the square of the width: a column is at most the
    root of ``accuracy`` times the smallest stroke or zone. Where that makes more than ``cells_most``, cells that
    nobody asked for are made larger.
    """
    along = _finest(_along(network, gap_mm), part=2 * accuracy, across=False)
    beside = _finest(_beside(network, zone_mm, width_mm), part=math.sqrt(accuracy), across=True)
    if round_mm is not None:
        along = Choice(across=False, size_mm=round_mm, cause=Cause.ASKED)
    if across_mm is not None:
        beside = Choice(across=True, size_mm=across_mm, cause=Cause.ASKED)
    choices = _affordable((along, beside), most=cells_most, area_mm2=_travel_mm(network) * width_mm)
    along, beside = choices
    grid = grid_of(network.plate_mm, width_mm, round_mm=along.size_mm, across_mm=beside.size_mm)
    sizes = (grid.round_mm, grid.across_mm)
    return replace(grid, reason=tuple(replace(c, size_mm=size) for c, size in zip(choices, sizes, strict=True)))


def _finest(lengths: Iterator[tuple[float, Cause]], *, part: float, across: bool) -> Choice:
    length_mm, cause = min(lengths, key=lambda each: each[0])
    return Choice(across=across, size_mm=part * length_mm, cause=cause, length_mm=length_mm)


def _along(network: Network, gap_mm: float | None) -> Iterator[tuple[float, Cause]]:
    """Lengths round the loops that cells must keep."""
    yield from ((length, Cause.ARC) for length in _arcs_mm(network) if length >= SAME_PLACE_MM)
    if gap_mm:
        yield gap_mm, Cause.GAP
    for feed in network.feeds:
        if isinstance(feed, DuctorFeed):
            yield from ((dwell, Cause.DWELL) for dwell in (feed.dwell_feed_mm, feed.dwell_train_mm) if dwell > 0)


def _beside(network: Network, zone_mm: float | None, width_mm: float) -> Iterator[tuple[float, Cause]]:
    """Lengths across that columns must keep. The face counts so that there are always some columns."""
    yield from ((loop.swing.stroke_mm, Cause.STROKE) for loop in network.loops if loop.swing and loop.swing.stroke_mm)
    if zone_mm:
        yield zone_mm, Cause.ZONE
    yield width_mm / FACE_PARTS / math.sqrt(ACCURACY), Cause.FACE


def _arcs_mm(network: Network) -> Iterator[float]:
    """Every arc between two nips, feeds or the sheet on a loop; a loop met at one place is one arc to itself."""
    places: dict[str, list[float]] = {}
    met = [side for nip in network.nips for side in (nip.a, nip.b)]
    met += [feed.fountain if isinstance(feed, DuctorFeed) else feed.at for feed in network.feeds]
    met += [network.sheet] if network.sheet is not None else []
    for place in met:
        places.setdefault(place.loop, []).append(place.at_mm % network.loop(place.loop).length_mm)
    for loop, stops in places.items():
        stops.sort()
        ends = [*stops[1:], stops[0] + network.loop(loop).length_mm]
        yield from (end - start for start, end in zip(stops, ends, strict=True))


def _travel_mm(network: Network) -> float:
    return sum(loop.length_mm for loop in network.loops)


def _affordable(choices: tuple[Choice, Choice], *, most: int, area_mm2: float) -> tuple[Choice, Choice]:
    """The same where there are no more cells than ``most``, else larger cells in what was not asked for."""
    along, beside = choices
    excess = area_mm2 / (along.size_mm * beside.size_mm) / most
    free = sum(choice.cause is not Cause.ASKED for choice in choices)
    if excess <= 1 or free == 0:
        return choices
    larger = excess ** (1 / free)

    def grown(choice: Choice) -> Choice:
        if choice.cause is Cause.ASKED:
            return choice
        return replace(choice, size_mm=choice.size_mm * larger, cause=Cause.CELLS)

    return grown(along), grown(beside)
