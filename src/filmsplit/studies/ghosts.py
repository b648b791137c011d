"""Ghosts: what an even area shows of image that lies elsewhere on the plate, told by the engine itself.

The settled print is laid over that of the same plate with its image spread evenly along each column: the same ink
taken by every column, the same gap, the same keys, and no image for a form roller to remember. What is left is what the
layout does. So the lead edge after the gap, zones and oscillators are no ghosts, and an even layout has none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import NipKind, Train
from filmsplit.studies.even_areas import EvenArea, Mask, even_areas
from filmsplit.studies.film_answer import told

SEEN_MM = 2.0
"""Length over which a ghost is averaged."""
VISIBLE = 0.02
"""Film difference from which a ghost counts as seen (invented default: no published threshold was found)."""
TREND_MM = 100.0
"""From this length on an area's own fall-off from lead to tail is taken out and told apart (invented default)."""
JOINED_MM = 15.0
"""Ghosts of one sign nearer to each other than this are told as one (invented default)."""
MOST_TURNS = 3
"""Turns of a form roller after which nothing is left of an image: each leaves some three eighths of the one before."""
MOST_TRIED = 8
"""The strongest ghosts are traced by trial, two settled prints each."""
LEAST_ROWS = 2
"""An image of no more rows than this has no edge to be told from its middle."""
EDGE_CELLS = 2
"""Cells beside an element that its edge may cover in part."""
ONE_ELEMENT = 0.1
"""Coverage within an element differs by no more."""
ELEMENT = 0.05
"""What differs by so much from the even area is an element that can have made a ghost in it."""


Places = NDArray[np.intp]
"""Numbers of rows or columns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A place on the sheet: a box round it."""

    lead_mm: float = told("where it begins, from the plate's lead image edge", "mm")
    tail_mm: float = told("where it ends, from the same edge", "mm")
    operator_mm: float = told("where it begins, from the operator's side of the sheet", "mm")
    gear_mm: float = told("where it ends, from the operator's side of the sheet", "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What made a ghost: an element of the image, by which form rollers, so many turns on.

    Form rollers are named by their length round; several where the element lies a turn back on each of them.
    """

    element: Box | None = told("the element; null where no single one was found")
    coverage: float = told("its image share", "0..1")
    forms: tuple[str, ...] = told("ids of the form rollers that can have carried it")
    turns: int = told("turns of the form roller from the element to the ghost")
    explained: float | None = told(
        "part of the ghost that went when the element was made like its surroundings, by trial; null where not tried"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ghost:
    """One ghost: where, how strong at its strongest (film over what it should be, less 1), on what coverage."""

    at: Box
    strength: float
    coverage: float
    cause: Cause | None

    @property
    def dark(self) -> bool:
        return self.strength > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaSeen:
    """An even area: its strongest ghost, seen or not; its fall-off: film at the tail over that at the lead, less 1."""

    at: Box
    coverage: float
    strongest: float
    fall_off: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GhostMap:
    """All ghosts of one ink that are seen, the strongest first; the even areas, as told and as cells, in one order;
    strength by cell (nan off the areas)."""

    ghosts: tuple[Ghost, ...]
    areas: tuple[AreaSeen, ...]
    even: tuple[EvenArea, ...]
    strength: Array
    film_um: Array
    settled: bool


def ghost_map(
    zoned: ZonedTrain, films_um: Array, *, solution: Solution, visible: float = VISIBLE, trials: int = MOST_TRIED
) -> GhostMap:
    """The ghosts of a settled print. ``solution`` is that of ``zoned`` under ``films_um``.

    Where the even print does not settle the map is empty and not ``settled``.
    """
    grid, coverage = zoned.train.grid, zoned.demand.coverage
    film = solution.sheet_um
    even = even_print(zoned, films_um, start=solution)
    if film is None or even is None:
        nothing = np.full(coverage.shape, np.nan)
        return GhostMap(ghosts=(), areas=(), even=(), strength=nothing, film_um=nothing, settled=False)
    areas = even_areas(coverage, cell_mm=(grid.round_mm, grid.across_mm))
    ratio = np.divide(film, even, out=np.ones_like(film), where=even > 0)
    strengths = [_strength(ratio, area, grid=grid) for area in areas]
    strength = np.full(coverage.shape, np.nan)
    for area, own in zip(areas, strengths, strict=True):
        strength[area.cells] = own[area.cells]
    seen = [
        AreaSeen(
            at=_box(area.cells, grid),
            coverage=area.coverage,
            strongest=_strongest(own, area),
            fall_off=_fall_off(film, area),
        )
        for area, own in zip(areas, strengths, strict=True)
    ]
    found = [
        one
        for area, own in zip(areas, strengths, strict=True)
        for one in _patches(own, area, visible=visible, grid=grid)
    ]
    found.sort(key=lambda patch: -abs(patch.strength))
    trace = _Trace(zoned=zoned, films_um=films_um, solution=solution, even=even, film=film)
    ghosts = tuple(trace.ghost(patch, tried=number < trials) for number, patch in enumerate(found))
    return GhostMap(ghosts=ghosts, areas=tuple(seen), even=areas, strength=strength, film_um=film, settled=True)


def strongest_difference(film: Array, even: Array, *, coverage: Array, grid: Grid) -> float:
    """The strongest ghost of a print on any even area, seen or not, without its sign; 0 where there is no even area."""
    ratio = np.divide(film, even, out=np.ones_like(film), where=even > 0)
    areas = even_areas(coverage, cell_mm=(grid.round_mm, grid.across_mm))
    return max((abs(_strongest(_strength(ratio, area, grid=grid), area)) for area in areas), default=0.0)


def spread_evenly(zoned: ZonedTrain) -> Array:
    """The coverage with the image of each column spread along the printed length: no column takes more or less ink.

    Where the image begins or ends within a row of cells that row keeps its part: an edge half a cell off would look
    like a ghost a turn of each form roller on.
    """
    coverage = zoned.demand.coverage
    printed = _printed_rows(zoned)
    even = np.zeros_like(coverage)
    if printed.size:
        parts = _parts(coverage[printed].sum(axis=1))
        even[printed] = np.outer(parts / parts.sum(), coverage[printed].sum(axis=0))
    return np.clip(even, 0.0, 1.0)


def _parts(inked: Array) -> Array:
    """The part of each printed row that lies within the image: all of it, but for the first and the last, which are
    held against their neighbours."""
    parts = np.ones(inked.size)
    if inked.size > LEAST_ROWS:
        for edge, neighbour in ((0, 1), (-1, -2)):
            parts[edge] = min(1.0, inked[edge] / inked[neighbour]) if inked[neighbour] > 0 else 1.0
    return parts


def _printed_rows(zoned: ZonedTrain) -> Places:
    """Rows from the first to the last that carry image: beyond them is margin, and the gap."""
    inked = np.flatnonzero(zoned.demand.coverage.any(axis=1))
    return np.arange(inked[0], inked[-1] + 1) if inked.size else np.arange(0)


def even_print(zoned: ZonedTrain, films_um: Array, *, start: Solution, accuracy: float = ACCURACY) -> Array | None:
    """The settled film a layout is judged against: the same keys, the image spread evenly; ``None`` if not settled."""
    demand = replace(zoned.keyed(films_um), coverage=spread_evenly(zoned))
    found = settle(zoned.train, demand, start=start.state, accuracy=accuracy)
    return found.sheet_um if found.ok else None


def _print(zoned: ZonedTrain, films_um: Array, *, coverage: Array, start: Solution) -> Array | None:
    """The settled film on the sheet with other image under the same keys; ``None`` where it does not settle."""
    demand = replace(zoned.keyed(films_um), coverage=np.ascontiguousarray(coverage))
    found = settle(zoned.train, demand, start=start.state)
    return found.sheet_um if found.ok else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Patch:
    """Connected cells of an area on which a ghost of one sign is seen."""

    area: EvenArea
    cells: Mask
    strength: float


def _strength(ratio: Array, area: EvenArea, *, grid: Grid) -> Array:
    """Ghost strength over an area (elsewhere of no meaning); what falls off all along a long area is taken out."""
    cells = area.cells
    own = ratio / float(np.median(ratio[cells])) - 1.0
    rows = np.arange(area.rows.start, area.rows.stop)
    if rows.size * grid.round_mm >= TREND_MM:
        own[area.rows] -= (_slope(_along(own, area)) * (rows - rows.mean()))[:, None]
    return _averaged(own, cells, rows=max(1, round(SEEN_MM / grid.round_mm)))


def _fall_off(film: Array, area: EvenArea) -> float:
    """Fall-off from lead to tail of the print itself, ripple and gap included, as a part of the area's median film."""
    along = _along(film / float(np.median(film[area.cells])), area)
    return _slope(along) * (along.size - 1)


def _along(values: Array, area: EvenArea) -> Array:
    """By row of an area the median of its own cells; nan in a row without any."""
    box = np.where(area.cells, values, np.nan)[area.rows]
    return np.array([float(np.nanmedian(row)) if np.isfinite(row).any() else np.nan for row in box])


def _slope(values: Array) -> float:
    """The median of the slopes between places half the length apart: a ghost in a part of it does not tilt it."""
    half = values.size // 2
    if half == 0:
        return 0.0
    slopes = (values[half:] - values[: values.size - half]) / half
    known = slopes[np.isfinite(slopes)]
    return float(np.median(known)) if known.size else 0.0


def _averaged(values: Array, cells: Mask, *, rows: int) -> Array:
    """Means over so many rows, of the area's own cells."""
    from scipy.ndimage import uniform_filter1d  # noqa: PLC0415 - only who looks for ghosts waits for it

    weight = uniform_filter1d(cells.astype(np.float64), rows, axis=0, mode="constant")
    total = uniform_filter1d(np.where(cells, values, 0.0), rows, axis=0, mode="constant")
    return np.asarray(np.divide(total, weight, out=np.zeros_like(total), where=weight > 1e-9))


def _strongest(strength: Array, area: EvenArea) -> float:
    own = strength[area.cells]
    return float(own[np.argmax(np.abs(own))])


def _patches(strength: Array, area: EvenArea, *, visible: float, grid: Grid) -> Iterator[_Patch]:
    """Cells of one sign that lie near each other are one ghost: that of a word, not one a letter."""
    from scipy.ndimage import binary_dilation, label  # noqa: PLC0415 - only who looks for ghosts waits for it

    near = [max(1, 2 * round(JOINED_MM / 2 / size) + 1) for size in (grid.round_mm, grid.across_mm)]
    for sign in (1.0, -1.0):
        seen = area.cells & (sign * strength >= visible)
        numbered, count = label(binary_dilation(seen, structure=np.ones(near, dtype=bool)))
        for number in range(1, count + 1):
            cells = np.asarray(seen & (numbered == number))
            yield _Patch(area=area, cells=cells, strength=sign * float(np.max(sign * strength[cells])))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Trace:
    """Finds what made a ghost: back along the plate by whole turns of each form roller, then by trial."""

    zoned: ZonedTrain
    films_um: Array
    solution: Solution
    even: Array
    film: Array

    def ghost(self, patch: _Patch, *, tried: bool) -> Ghost:
        cause = self._cause(patch)
        named = None
        if cause is not None:
            forms, turns, element = cause
            explained = self._explained(patch, element) if tried else None
            named = self._named(forms=forms, turns=turns, element=element, explained=explained)
        grid = self.zoned.train.grid
        return Ghost(at=_box(patch.cells, grid), strength=patch.strength, coverage=patch.area.coverage, cause=named)

    def _named(self, *, forms: tuple[str, ...], turns: int, element: Mask, explained: float | None) -> Cause:
        coverage = self.zoned.demand.coverage
        inked = bool(element.any())
        return Cause(
            element=_box(element, self.zoned.train.grid) if inked else None,
            coverage=float(coverage[element].mean()) if inked else 0.0,
            forms=forms,
            turns=turns,
            explained=explained,
        )

    def _cause(self, patch: _Patch) -> tuple[tuple[str, ...], int, Mask] | None:
        """The form rollers and turns whose place lacks or has most: dark follows bare, light follows heavy image."""
        scores: dict[tuple[str, int], float] = {}
        for form, length_mm in form_lengths(self.zoned.train).items():
            for turns in range(1, MOST_TURNS + 1):
                scores[form, turns] = self._score(patch, length_mm=length_mm, turns=turns)
        best = max(scores, key=lambda each: scores[each])
        if scores[best] <= 0:
            return None
        turns = best[1]
        forms = tuple(form for (form, on), score in scores.items() if on == turns and score >= ALIKE * scores[best])
        length_mm = form_lengths(self.zoned.train)[best[0]]
        return forms, turns, self._element(self._source(patch, turns * length_mm), even=patch.area.coverage)

    def _score(self, patch: _Patch, *, length_mm: float, turns: int) -> float:
        """How much the image so far back differs from its columns' mean in the sense that makes such a ghost."""
        columns = np.flatnonzero(patch.cells.any(axis=0))
        lack = self._mean_coverage(columns) - float(
            self.zoned.demand.coverage[self._source(patch, turns * length_mm)].mean()
        )
        return float(np.sign(patch.strength) * lack * REMEMBERED**turns)

    def _source(self, patch: _Patch, back_mm: float) -> Mask:
        """The cells of a ghost, so far back along the plate, in the order in which it runs."""
        return np.roll(patch.cells, -round(back_mm / self.zoned.train.grid.round_mm), axis=0)

    def _mean_coverage(self, columns: Places) -> float:
        return float(self.zoned.demand.coverage[np.ix_(_printed_rows(self.zoned), columns)].mean())

    def _element(self, source: Mask, *, even: float) -> Mask:
        """The image at the place of the cause that is not like the even area, with all of one coverage joined to it."""
        from scipy.ndimage import binary_dilation, label  # noqa: PLC0415 - only who looks for ghosts waits for it

        coverage, printed = self.zoned.demand.coverage, np.zeros((self.zoned.train.grid.rows, 1), dtype=bool)
        printed[_printed_rows(self.zoned)] = True
        differs = (np.abs(coverage - even) >= ELEMENT) & printed & self._across()
        found = coverage[source & differs]
        if not found.size:
            return np.zeros_like(differs)
        alike = differs & (np.abs(coverage - np.median(found)) <= ONE_ELEMENT)
        numbered, _ = label(alike)
        touched = np.unique(numbered[source & alike])
        element = np.isin(numbered, touched[touched > 0])
        # Its edges fall within cells that it only covers in part.
        return np.asarray(binary_dilation(element, iterations=EDGE_CELLS) & differs)

    def _across(self) -> Mask:
        """Columns with image: beside them nothing is printed."""
        inked = np.flatnonzero(self.zoned.demand.coverage.any(axis=0))
        across = np.zeros((1, self.zoned.train.grid.columns), dtype=bool)
        across[0, inked[0] : inked[-1] + 1] = True
        return across

    def _explained(self, patch: _Patch, element: Mask) -> float | None:
        """The part of the ghost that goes when its element is made like the even area: two more settled prints."""
        if not element.any():
            return None
        changed = self.zoned.demand.coverage.copy()
        changed[element] = patch.area.coverage
        other = replace(self.zoned, demand=replace(self.zoned.demand, coverage=changed))
        film = _print(other, self.films_um, coverage=changed, start=self.solution)
        even = _print(other, self.films_um, coverage=spread_evenly(other), start=self.solution)
        if film is None or even is None:
            return None
        ratio = np.divide(film, even, out=np.ones_like(film), where=even > 0)
        left = _strength(ratio, patch.area, grid=self.zoned.train.grid)
        sign = np.sign(patch.strength)
        return 1.0 - float(np.max(sign * left[patch.cells])) / abs(patch.strength)


ALIKE = 0.8
"""Form rollers whose place scores within this of the best cannot be told apart by place (invented default)."""
REMEMBERED = 0.375
"""What a form roller keeps of an image from turn to turn (settled, even split, one form roller: algebra)."""


def form_lengths(train: Train) -> Mapping[str, float]:
    """Press travel for one turn of each ink form roller on the plate, mm."""
    forms: dict[str, float] = {}
    for nip in train.nips:
        if nip.kind is NipKind.FORM:
            for number in (nip.a, nip.b):
                loop = train.loops[number]
                if loop.role is LoopRole.ROLLER:
                    forms[loop.id] = loop.cells * train.grid.round_mm
    return forms


def _box(cells: Mask, grid: Grid) -> Box:
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    return Box(
        lead_mm=float(rows[0] * grid.round_mm),
        tail_mm=float((rows[-1] + 1) * grid.round_mm),
        operator_mm=float(columns[0] * grid.across_mm),
        gear_mm=float((columns[-1] + 1) * grid.across_mm),
    )
