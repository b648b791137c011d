"""A picture in any colours to one of grey for each ink, band by band, packed as it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.pdf.colour import Bounds, Numbers, Space
from filmsplit.formats.pdf.deflated import WHITE, Deflated
from filmsplit.formats.pdf.raster import Raster, Samples
from filmsplit.formats.pdf.space_kinds import Cmyk
from filmsplit.formats.pdf.space_named import Named
from filmsplit.formats.pdf.target import InkTarget

AT_ONCE = 1 << 18
"""Dots converted at once."""
Dots = NDArray[np.uint8]
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
    def direct(self) -> dict[int, int] | None:
        """By plane the component that is its ink, where colours are inks as they are; else ``None``."""
        if self.unmixed is not None or self.bits > 8:
            return None
        if isinstance(self.space, Cmyk) and isinstance(self.space.target, InkTarget):
            return {each: each for each in range(4)}
        if isinstance(self.space, Named):
            return {place: component for component, place in enumerate(self.space.places) if place is not None}
        return None


def planes(found: Raster, reading: Reading, *, boxes: tuple[int, int] = (1, 1)) -> dict[int, Deflated]:
    """Each ink the space addresses. ``boxes`` are so many rows and columns of which one dot is made, their mean."""
    packers = {plane: Deflated() for plane in sorted(reading.space.inks)}
    direct = reading.direct
    for start, stop in _bands(found, boxes[0]):
        samples = found.rows(start, stop)
        greys = _general(samples, reading, (start, stop)) if direct is None else _direct(samples, reading, direct)
        for plane, grey in greys:
            packers[plane].add(_reduced(grey, boxes))
    return packers


def _bands(found: Raster, box: int) -> Iterator[tuple[int, int]]:
    rows = max(1, AT_ONCE // found.width // box) * box
    for start in range(0, found.height, rows):
        yield start, min(found.height, start + rows)


def _direct(samples: Samples, reading: Reading, direct: dict[int, int]) -> Iterator[tuple[int, Dots]]:
    """Sample by sample through a table."""
    steps = np.linspace(0.0, 1.0, 2**reading.bits)
    for plane, component in direct.items():
        low, high = reading.bounds[component]
        table = np.rint(WHITE * (1.0 - np.clip(low + steps * (high - low), 0.0, 1.0))).astype(np.uint8)
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


def _reduced(grey: Dots, boxes: tuple[int, int]) -> Dots:
    """Means over boxes; rows and columns that fill no box make one of their own."""
    down, across = boxes
    if boxes == (1, 1):
        return grey
    rows = np.arange(0, grey.shape[0], down)
    columns = np.arange(0, grey.shape[1], across)
    sums = np.add.reduceat(np.add.reduceat(grey.astype(np.uint32), rows, axis=0), columns, axis=1)
    tall = np.diff(np.append(rows, grey.shape[0]))
    wide = np.diff(np.append(columns, grey.shape[1]))
    means: Dots = np.rint(sums / (tall[:, None] * wide)).astype(np.uint8)
    return means
