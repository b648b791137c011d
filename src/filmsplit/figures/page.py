"""The page: which paper, which scale, and where title, train and legend go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.figures.boxes import Box
from filmsplit.figures.legend import Entry, columns_for, height_for
from filmsplit.figures.stage import Mapping, reach_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Unit

MARGIN_MM = 9.0
TITLE_MM = 15.0
FOOT_MM = 11.0
"""Room for the scale bar and the note."""
SIDE_MM = 26.0
"""Least room kept for labels on either side of a unit."""
OVERHEAD_MM = 7.0
SCALES = (1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50)
WORST_SCALE = 3.0
"""Paper is taken a size larger when the train would be drawn smaller than this."""
PAPERS_MM = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "A2": (420.0, 594.0), "Letter": (215.9, 279.4)}
BY_SIZE = ("A4", "A3", "A2")
Zones = tuple[Box, Box, int]
"""Where the train goes, where the legend goes, and in how many columns."""


@dataclass(frozen=True, slots=True)
class Page:
    """A chosen page: size, the zone of the train, the zone of the legend, one mapping for each unit."""

    width_mm: float
    height_mm: float
    train: Box
    legend: Box
    columns: int
    scale: float
    mappings: tuple[Mapping, ...]


def choose_page(units: Sequence[Unit], entries: list[Entry], *, paper: str | None, larger: int = 0) -> Page:
    """The smallest paper on which the train is not drawn too small; ``larger`` skips so many papers more."""
    if paper is not None:
        pages = _arrangements(PAPERS_MM[paper], units, entries)
        if not pages:
            raise Refusal(Problem("drawing-does-not-fit", {"paper": paper}))
        return min(pages, key=lambda page: page.scale)
    chosen = [_arrangements(PAPERS_MM[name], units, entries) for name in BY_SIZE]
    best = [min(pages, key=lambda page: page.scale) for pages in chosen if pages]
    if not best:
        raise Refusal(Problem("drawing-does-not-fit", {"paper": BY_SIZE[-1]}))
    fitting = [i for i, page in enumerate(best) if page.scale <= WORST_SCALE] or [len(best) - 1]
    return best[min(fitting[0] + larger, len(best) - 1)]


def _arrangements(size: tuple[float, float], units: Sequence[Unit], entries: list[Entry]) -> list[Page]:
    """Upright and turned, with the legend below and with the legend at the right."""
    pages = []
    for turned in (size, (size[1], size[0])):
        inner = Box(MARGIN_MM, MARGIN_MM + TITLE_MM, turned[0] - MARGIN_MM, turned[1] - MARGIN_MM - FOOT_MM)
        pages += [_fit(turned, zones, units) for zones in _zones(inner, entries)]
    return [page for page in pages if page is not None]


def _zones(inner: Box, entries: list[Entry]) -> list[Zones]:
    columns = columns_for(entries, inner.right - inner.left)
    below = inner.bottom - height_for(entries, columns)
    aside = inner.right - max((entry.width for entry in entries), default=0.0)
    zones = [(inner._replace(bottom=below - 3), inner._replace(top=below), columns)]
    if height_for(entries, 1) <= inner.bottom - inner.top:
        zones.append((inner._replace(right=aside - 3), inner._replace(left=aside, top=inner.top + 2), 1))
    return zones


def _fit(size: tuple[float, float], zones: Zones, units: Sequence[Unit]) -> Page | None:
    """The largest scale that leaves room for the labels; ``None`` when none does."""
    reaches = [reach_of(unit) for unit in units]
    train, legend, columns = zones
    sides = SIDE_MM * (len(units) + 1)
    free_w, free_h = train.right - train.left - sides, train.bottom - train.top - 2 * OVERHEAD_MM
    if free_w <= 10 or free_h <= 10:
        return None
    need = max(
        sum(right - left for left, _, right, _ in reaches) / free_w,
        max(top - low for _, low, _, top in reaches) / free_h,
    )
    fitting = [scale for scale in SCALES if scale >= need]
    if not fitting:
        return None
    scale = fitting[0]
    return Page(*size, train, legend, columns, scale, _mappings(train, reaches, scale))


def _mappings(train: Box, reaches: list[tuple[float, float, float, float]], scale: float) -> tuple[Mapping, ...]:
    """Units side by side with equal room between, their plates on one level where the papers' height allows."""
    drawn = sum(right - left for left, _, right, _ in reaches) / scale
    gap = (train.right - train.left - drawn) / (len(reaches) + 1)
    top = max(reach[3] for reach in reaches)
    low = min(reach[1] for reach in reaches)
    base = (train.top + train.bottom) / 2 + (top + low) / 2 / scale
    mappings, left = [], train.left + gap
    for reach in reaches:
        mappings.append(Mapping(left - reach[0] / scale, base, scale))
        left += (reach[2] - reach[0]) / scale + gap
    return tuple(mappings)
