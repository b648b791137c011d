"""Read a TIFF plate file of any size: every page and ink to a coverage map, a band of rows at a time."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO, TypeVar

import numpy as np
from numpy.typing import NDArray

from filmsplit.artwork import CoverageMap, Source, Step, StepKind
from filmsplit.formats.coverage_cells import Cells, cells_for
from filmsplit.formats.coverage_count import Counted, count_bits, count_values
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.tiff_bands import Band, bands
from filmsplit.formats.tiff_checks import is_preview, layout_of
from filmsplit.formats.tiff_directory import Directory, read_directories
from filmsplit.formats.tiff_layout import Layout
from filmsplit.formats.tiff_unpack import Unpacker
from filmsplit.messages import Problem, Refusal, label

FULL = 65535
"""The greatest value of a grey dot that has gone through a plate curve."""
_Given = TypeVar("_Given")
_Made = TypeVar("_Made")


def read_tiff(file: BinaryIO, path: Path, *, options: CoverageOptions) -> CoverageRead:
    """The maps of an open TIFF file; pages that are small copies are left out. Raises ``Refusal``."""
    name = str(path)
    directories = read_directories(file, path.stat().st_size, name=name)
    layouts = _layouts(directories, path, options=options)
    maps: list[CoverageMap] = []
    for layout in layouts:
        maps += _maps_of(Unpacker(file, layout, name=name), options, path=path)
    told = [each.changed(None, ink=ink) for each, ink in zip(maps, options.inks, strict=False)]
    left_out = sum(is_preview(each) for each in directories)
    notices = (Problem("tiff-small-copies", {"file": name, "pages": left_out}),) if left_out else ()
    return CoverageRead(maps=tuple(told or maps), notices=notices)


def tiff_size_mm(file: BinaryIO, path: Path, *, options: CoverageOptions) -> tuple[float, float]:
    """Length and width of the first page, the right way up. Raises ``Refusal`` as :func:`read_tiff` would."""
    directories = read_directories(file, path.stat().st_size, name=str(path))
    layout = _layouts(directories, path, options=options)[0]
    down, across = layout.height / layout.dots_per_mm[0], layout.width / layout.dots_per_mm[1]
    return (across, down) if layout.orientation >= 5 else (down, across)


def _layouts(directories: Sequence[Directory], path: Path, *, options: CoverageOptions) -> list[Layout]:
    """The layouts of all pages but small copies; ``Refusal`` with everything that is wrong with any."""
    layouts: list[Layout] = []
    problems: list[Problem] = []
    for directory in directories:
        if is_preview(directory):
            continue
        try:
            layouts.append(layout_of(directory, path.stat().st_size, name=str(path), options=options))
        except Refusal as refusal:
            problems += refusal.problems
    problems += _inks_told(layouts, str(path), options=options)
    if problems or not layouts:
        raise Refusal(problems or Problem("tiff-without-pages", {"file": str(path)}))
    return layouts


def _inks_told(layouts: list[Layout], name: str, *, options: CoverageOptions) -> Iterator[Problem]:
    inks = sum(layout.samples for layout in layouts)
    if options.inks and layouts and len(options.inks) != inks:
        yield Problem("plate-inks-do-not-fit", {"file": name, "inks": inks, "told": len(options.inks)})
    if options.curve and any(layout.bits == 1 for layout in layouts):
        yield Problem("plate-curve-on-bits", {"file": name})


def _maps_of(unpacker: Unpacker, options: CoverageOptions, *, path: Path) -> Iterator[CoverageMap]:
    """One map for each ink of a page."""
    layout = unpacker.layout
    cells = cells_for(layout.height, layout.width, dots_per_mm=layout.dots_per_mm, options=_as_stored(layout, options))
    table = _table(layout, options)
    sums = np.zeros((layout.samples, cells.rows.size - 1, cells.columns.size - 1), dtype=np.int64)
    rows_done, rows = 0, layout.height * layout.planes
    counting = _Counting(unpacker, cells, table)
    for band, counted in in_order(counting, bands(layout), workers=options.workers):
        inks = slice(band.plane * layout.together, (band.plane + 1) * layout.together)
        sums[inks, counted.first : counted.first + len(counted.sums)] += np.moveaxis(counted.sums, 2, 0)
        rows_done += band.rows
        if options.progress:
            options.progress(rows_done, rows)
    full = 1 if layout.bits == 1 else 255 if table is None else FULL
    for number, ink in enumerate(layout.inks):
        shares = sums[number] / (cells.dots * full)
        shares = shares if layout.ink_is_high or table is not None else 1.0 - shares
        source = Source(file=path.name, kind=_kind(layout), page=layout.page, dots=(layout.height, layout.width))
        steps = tuple(_steps(layout, options))
        yield oriented(cells.map_of(shares, ink, source=source, steps=steps), layout.orientation)


@dataclass(frozen=True, slots=True)
class _Counting:
    """Unpack a band and count it: what the workers do."""

    unpacker: Unpacker
    cells: Cells
    table: NDArray[np.uint16] | None

    def __call__(self, band: Band) -> tuple[Band, Counted]:
        layout = self.unpacker.layout
        rows = self.unpacker.band(band)
        if layout.bits == 1:
            return band, count_bits(rows, band.first_row, self.cells)
        values = rows.reshape(band.rows, layout.width, layout.together)
        return band, count_values(values, band.first_row, self.cells, table=self.table)


def _table(layout: Layout, options: CoverageOptions) -> NDArray[np.uint16] | None:
    """What each value of a grey dot comes to on the plate, where a curve is told."""
    if options.curve is None:
        return None
    ink = np.arange(256) / 255
    return np.rint(FULL * options.curve(ink if layout.ink_is_high else 1 - ink)).astype(np.uint16)


def _kind(layout: Layout) -> str:
    return label(f"tiff_kind.{'bits' if layout.bits == 1 else 'grey'}", packing=label(f"packing.{layout.packing.name}"))


def _steps(layout: Layout, options: CoverageOptions) -> Iterator[Step]:
    down, across = layout.dots_per_mm
    yield Step(StepKind.READ, {"down": f"{down * 25.4:.6g}", "across": f"{across * 25.4:.6g}"})
    if options.resolution_dpi is not None:
        yield Step(StepKind.RESOLUTION, {"dpi": f"{options.resolution_dpi:.6g}"})
    if options.curve is not None:
        yield Step(StepKind.CURVE, {"curve": str(options.curve)})


def oriented(artwork: CoverageMap, orientation: int) -> CoverageMap:
    """The map the way up the file says it is to be seen (tag Orientation: 1 is as stored)."""
    if orientation == 1:
        return artwork
    shares, round_mm, across_mm = artwork.coverage, artwork.round_edges_mm, artwork.across_edges_mm
    if orientation >= 5:  # rows are stored as columns
        shares, round_mm, across_mm = shares.T, across_mm, round_mm
    if orientation in (2, 3, 6, 7):
        shares, across_mm = shares[:, ::-1], across_mm[-1] - across_mm[::-1]
    if orientation in (3, 4, 7, 8):
        shares, round_mm = shares[::-1], round_mm[-1] - round_mm[::-1]
    step = Step(StepKind.ORIENTED, {"orientation": orientation})
    return artwork.changed(step, coverage=shares, round_edges_mm=round_mm, across_edges_mm=across_mm)


def _as_stored(layout: Layout, options: CoverageOptions) -> CoverageOptions:
    """The cuts, told for the upright picture, where they come in the stored one."""
    round_mm, across_mm = options.cuts_round_mm, options.cuts_across_mm
    down, across = layout.height / layout.dots_per_mm[0], layout.width / layout.dots_per_mm[1]
    if layout.orientation >= 5:
        down, across = across, down
    if layout.orientation in (3, 4, 7, 8):
        round_mm = tuple(down - cut for cut in round_mm)
    if layout.orientation in (2, 3, 6, 7):
        across_mm = tuple(across - cut for cut in across_mm)
    if layout.orientation >= 5:
        round_mm, across_mm = across_mm, round_mm
    return replace(options, cuts_round_mm=round_mm, cuts_across_mm=across_mm)


def in_order(work: Callable[[_Given], _Made], items: Iterable[_Given], *, workers: int) -> Iterator[_Made]:
    """What ``work`` makes of each item, in order. With several workers a few are under way, never all at once."""
    if workers <= 1:
        yield from map(work, items)
        return
    with ThreadPoolExecutor(workers) as pool:
        under_way: deque[Future[_Made]] = deque()
        try:
            for item in items:
                under_way.append(pool.submit(work, item))
                if len(under_way) > workers:
                    yield under_way.popleft().result()
            while under_way:
                yield under_way.popleft().result()
        finally:
            for each in under_way:
                each.cancel()
