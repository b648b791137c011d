"""A picture in any colours to one of grey for each ink, band by band, packed as it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from filmsplit.formats.pdf.colour import Bounds, Numbers, Space
from filmsplit.formats.pdf.deflated import WHITE, Deflated
from filmsplit.formats.pdf.inks import PROCESS
from filmsplit.formats.pdf.picture_grid import Dots, Grid
from filmsplit.formats.pdf.raster import Raster, Samples
from filmsplit.formats.pdf.space_kinds import UNIT, Cmyk, Rgb
from filmsplit.formats.pdf.space_named import Named
from filmsplit.formats.pdf.target import InkTarget

Tables = dict[int, tuple[int, Dots]]
Blend = Callable[[Numbers, int, int], Numbers]
"""Undoes what was mixed into the colours, ``(n, components)`` of rows from, up to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How samples become colours: ``bounds`` are what the lowest and the highest sample stand for."""

    space: Space
    bounds: Bounds
    bits: int
    unmixed: Blend | None = None

    @property
    def tables(self) -> Tables | None:
        """By plane the component that decides on its ink alone, and the greys of its samples; ``None`` where there is
        no such component."""
        if self.unmixed is not None or self.bits > 8:
            return None
        if isinstance(self.space, Cmyk) and isinstance(self.space.target, InkTarget):
            return {each: (each, self._table(each)) for each in range(4)}
        if isinstance(self.space, Named):
            places = enumerate(self.space.places)
            return {place: (each, self._table(each)) for each, place in places if place is not None}
        if self.space.components == 1:
            greys = self.greys()
            return {plane: (0, greys[:, plane]) for plane in self.space.inks}
        return None

    @property
    def is_light(self) -> bool:
        """Whether colours are RGB as most pictures have it, which goes faster."""
        is_plain = self.unmixed is None and self.bits == 8 and set(self.bounds) == {UNIT}
        return is_plain and isinstance(self.space, Rgb) and isinstance(self.space.target, InkTarget)

    def _table(self, component: int) -> Dots:
        """Greys of a component that is an ink as it is."""
        low, high = self.bounds[component]
        steps = np.linspace(0.0, 1.0, 2**self.bits)
        return np.rint(WHITE * (1.0 - np.clip(low + steps * (high - low), 0.0, 1.0))).astype(np.uint8)

    def greys(self) -> Dots:
        """Greys of each sample of a space of one component, ``(samples, planes)``."""
        low, high = self.bounds[0]
        values = low + np.arange(2**self.bits) * ((high - low) / (2.0**self.bits - 1.0))
        return np.rint(WHITE * (1.0 - self.space.amounts(values[:, None]))).astype(np.uint8)


def planes(found: Raster, reading: Reading, grid: Grid) -> dict[int, Deflated]:
    """Each ink the space addresses, box by box."""
    packers = {plane: Deflated() for plane in sorted(reading.space.inks)}
    tables = reading.tables
    for first, last in grid.bands():
        start, stop = int(grid.down[first]), int(grid.down[last])
        samples = found.rows(start, stop)
        for plane, grey in _greys(samples, reading, tables, rows=(start, stop)):
            packers[plane].add(grid.means(grey, first=first, last=last))
    return packers


def _greys(
    samples: Samples, reading: Reading, tables: Tables | None, *, rows: tuple[int, int]
) -> Iterator[tuple[int, Dots]]:
    if tables is not None:
        return _direct(samples, tables)
    return _light(samples, reading) if reading.is_light else _general(samples, reading, rows)


def _light(samples: Samples, reading: Reading) -> Iterator[tuple[int, Dots]]:
    """RGB of 256 steps."""
    assert isinstance(reading.space, Rgb)
    assert isinstance(reading.space.target, InkTarget)
    target = reading.space.target
    flat = samples[..., :3].reshape(-1, 3).astype(np.uint8, copy=False)
    amounts = target.conversion.rgb_bytes(flat, target.ledger, source=reading.space.profile)
    for plane in range(len(PROCESS)):
        yield plane, (WHITE - amounts[:, plane]).reshape(samples.shape[:2])


def _direct(samples: Samples, tables: Tables) -> Iterator[tuple[int, Dots]]:
    """Sample by sample through a table."""
    for plane, (component, table) in tables.items():
        yield plane, table[samples[..., component]]


def _general(samples: Samples, reading: Reading, rows: tuple[int, int]) -> Iterator[tuple[int, Dots]]:
    """By the colour space, in full."""
    low, high = np.array(reading.bounds).T
    components = len(reading.bounds)
    shape = samples.shape[:2]
    flat = samples[..., :components].reshape(-1, components)
    values = low + flat * ((high - low) / (2.0**reading.bits - 1.0))
    if reading.unmixed is not None:
        values = reading.unmixed(values, *rows)
    amounts = reading.space.amounts(values)
    for plane in sorted(reading.space.inks):
        yield plane, np.rint(WHITE * (1.0 - amounts[:, plane])).astype(np.uint8).reshape(shape)
