"""From the tags of a page to its layout: everything that cannot be, or cannot be read, told at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from filmsplit.formats.coverage_limits import MM_PER_INCH, sizes_possible
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.formats.tiff_directory import Directory, Tag
from filmsplit.formats.tiff_layout import Integers, Layout, Packing, Photometric, Pieces
from filmsplit.messages import Problem, Refusal, label

UNITS_MM = {2: MM_PER_INCH, 3: 10.0}
"""Length of the unit of resolution by its number: inch, centimetre. Number 1 is no unit."""
PROCESS_INKS = ("cyan", "magenta", "yellow", "black")
MOST_INKS = 16
_PLAIN = {
    Tag.Compression: 1,
    Tag.SamplesPerPixel: 1,
    Tag.BitsPerSample: 1,
    Tag.PlanarConfiguration: 1,
    Tag.FillOrder: 1,
    Tag.Predictor: 1,
    Tag.Orientation: 1,
    Tag.T4Options: 0,
    Tag.ResolutionUnit: 2,
    Tag.InkSet: 1,
    Tag.NewSubfileType: 0,
    Tag.SampleFormat: 1,
}
"""What the specification says of a tag that is not there."""
_MAY_DIFFER = (Packing.LZW, Packing.DEFLATE, Packing.OLD_DEFLATE)
"""Packings that may hold differences (Predictor 2); with others programs disagree what it means."""
_POSSIBLE = {Tag.PlanarConfiguration: (1, 2), Tag.FillOrder: (1, 2), Tag.Orientation: range(1, 9)}
_LEAST_BITS = {
    Packing.PACKBITS: 1 / 64,
    Packing.LZW: 1 / 2731,
    Packing.DEFLATE: 1 / 1032,
    Packing.OLD_DEFLATE: 1 / 1032,
}
"""Bytes that a byte of picture needs at the very least: two bytes for a run of 128; 12 bits for the longest string of
4 096 entries; 258 bytes from 2 bits (arithmetic of the three schemes). Less than that is a bomb or a torn file."""


def is_preview(directory: Directory) -> bool:
    """Whether a page is a small copy of another."""
    numbers = directory.numbers(Tag.NewSubfileType)
    return numbers is not None and bool(int(numbers[0]) & 1)


def layout_of(directory: Directory, size: int, *, name: str, options: CoverageOptions) -> Layout:
    """The layout of a page in a file of ``size`` bytes. Raises ``Refusal`` with everything that is wrong."""
    page = _Page(directory, size, name, options)
    layout = page.layout()
    if layout is None:
        raise Refusal(page.problems)
    return layout


@dataclass(slots=True)
class _Page:
    """One page while it is judged."""

    directory: Directory
    size: int
    name: str
    options: CoverageOptions
    problems: list[Problem] = field(default_factory=list)

    def layout(self) -> Layout | None:
        numbers = {tag: self._one(tag) for tag in (Tag.ImageWidth, Tag.ImageLength, Tag.PhotometricInterpretation)}
        numbers |= {tag: self._one(tag) for tag in _PLAIN}
        if self.problems:
            return None
        height, width = numbers[Tag.ImageLength], numbers[Tag.ImageWidth]
        bits, samples = numbers[Tag.BitsPerSample], numbers[Tag.SamplesPerPixel]
        self.problems += self._not_read(numbers)
        dots_per_mm = self._resolution(height, width, unit=numbers[Tag.ResolutionUnit])
        if not self.problems and dots_per_mm:
            self.problems += sizes_possible(height, width, dots_per_mm=dots_per_mm, name=self.name)
        if self.problems or dots_per_mm is None:
            return None
        pieces = self._pieces(height, width, planes=samples if numbers[Tag.PlanarConfiguration] == 2 else 1)
        if pieces is None:
            return None
        layout = Layout(
            page=self.directory.page,
            height=height,
            width=width,
            bits=bits,
            samples=samples,
            planes=samples if numbers[Tag.PlanarConfiguration] == 2 else 1,
            packing=Packing(numbers[Tag.Compression]),
            photometric=Photometric(numbers[Tag.PhotometricInterpretation]),
            reversed_bits=numbers[Tag.FillOrder] == 2,
            differences=numbers[Tag.Predictor] == 2 and bits == 8,
            t4_options=numbers[Tag.T4Options],
            orientation=numbers[Tag.Orientation],
            dots_per_mm=dots_per_mm,
            inks=self._inks(samples, process=numbers[Tag.InkSet] == 1),
            pieces=pieces,
        )
        self.problems += self._too_few_bytes(layout)
        return None if self.problems else layout

    def _one(self, tag: Tag) -> int:
        """The only, or the one repeated, value of a tag; what the specification assumes where it is not there."""
        values = self.directory.numbers(tag)
        if values is None:
            if tag in _PLAIN:
                return _PLAIN[tag]
            self._complain("tiff-tag-missing", tag)
            return 0
        value = int(values[0])
        if (values != value).any() or value not in _POSSIBLE.get(tag, (value,)):
            self._complain("tiff-tag-wrong", tag, value=", ".join(f"{each:g}" for each in values[:8]))
        return value

    def _complain(self, slug: str, tag: Tag, **values: object) -> None:
        where = {"file": self.name, "page": self.directory.page, "tag": tag.name}
        self.problems.append(Problem(slug, where | values))

    def _not_read(self, numbers: dict[Tag, int]) -> Iterator[Problem]:
        """What this reader does not know how to read, and what no plate can be made from."""
        where = {"file": self.name, "page": self.directory.page}
        kind, bits, samples = (
            numbers[tag] for tag in (Tag.PhotometricInterpretation, Tag.BitsPerSample, Tag.SamplesPerPixel)
        )
        if kind not in {each.value for each in Photometric}:
            yield Problem("plate-picture-in-colours", where | {"kind": label("picture_kind.colours")})
        elif not 1 <= samples <= MOST_INKS or (kind != Photometric.SEPARATED and samples > 1):
            yield Problem("tiff-samples-not-read", where | {"samples": samples})
        if bits not in (1, 8) or numbers[Tag.SampleFormat] != 1:
            yield Problem("tiff-bits-not-read", where | {"bits": bits})
        packing = numbers[Tag.Compression]
        if packing not in {each.value for each in Packing} or (Packing(packing).is_fax and bits != 1):
            yield Problem("tiff-packing-not-read", where | {"packing": packing})
        elif numbers[Tag.Predictor] not in ((1, 2) if packing in _MAY_DIFFER else (1,)):
            yield Problem("tiff-packing-not-read", where | {"packing": f"{packing}/{numbers[Tag.Predictor]}"})
        if bits == 1 and samples > 1 and numbers[Tag.PlanarConfiguration] == 1:
            yield Problem("tiff-bits-interleaved", where | {"samples": samples})
        extra = self.directory.numbers(Tag.ExtraSamples)
        if extra is not None and (extra != 0).any():
            yield Problem("tiff-transparency", where)
        ranges = self.directory.numbers(Tag.DotRange)
        if ranges is not None and ranges.tolist()[:2] not in ([0, 255], [0, 1]):
            yield Problem("tiff-tag-wrong", where | {"tag": Tag.DotRange.name, "value": str(ranges.tolist()[:8])})

    def _resolution(self, height: int, width: int, *, unit: int) -> tuple[float, float] | None:
        """Dots to a millimetre down and across."""
        if self.options.resolution_dpi is not None:
            return (self.options.resolution_dpi / MM_PER_INCH,) * 2
        down, across = (self.directory.numbers(tag) for tag in (Tag.YResolution, Tag.XResolution))
        if down is None or across is None or unit not in UNITS_MM or not (down[0] > 0 and across[0] > 0):
            values = {"file": self.name, "page": self.directory.page, "rows": height, "columns": width}
            self.problems.append(Problem("plate-resolution-missing", values))
            return None
        return float(down[0]) / UNITS_MM[unit], float(across[0]) / UNITS_MM[unit]

    def _pieces(self, height: int, width: int, *, planes: int) -> Pieces | None:
        """Strips or tiles, complete and inside the file."""
        tiled = self.directory.numbers(Tag.TileOffsets) is not None
        names = (Tag.TileOffsets, Tag.TileByteCounts) if tiled else (Tag.StripOffsets, Tag.StripByteCounts)
        offsets, lengths = (self.directory.numbers(tag) for tag in names)
        for tag, values in zip(names, (offsets, lengths), strict=True):
            if values is None:
                self._complain("tiff-tag-missing", tag)
        rows, columns = (
            (self._one(Tag.TileLength), self._one(Tag.TileWidth)) if tiled else (self._strip_rows(height), width)
        )
        if self.problems or offsets is None or lengths is None:
            return None
        if rows < 1 or columns < 1 or rows * columns > 2**34 or (tiled and columns % 8):
            self._complain("tiff-tag-wrong", Tag.TileLength if tiled else Tag.RowsPerStrip, value=f"{rows} x {columns}")
            return None
        down, across = -(-height // rows), -(-width // columns)
        if not offsets.size == lengths.size == down * across * planes:
            values_ = {"pieces": min(offsets.size, lengths.size), "needed": down * across * planes}
            self._complain("tiff-pieces-do-not-fit", names[0], **values_)
            return None
        starts, sizes = offsets.astype(np.int64), lengths.astype(np.int64)
        self.problems += self._outside_the_file(starts, sizes)
        return Pieces(tiled=tiled, offsets=starts, lengths=sizes, height=rows, width=columns, down=down, across=across)

    def _strip_rows(self, height: int) -> int:
        rows = self.directory.numbers(Tag.RowsPerStrip)
        return height if rows is None else min(height, int(rows[0]))

    def _outside_the_file(self, starts: Integers, sizes: Integers) -> Iterator[Problem]:
        needed = int((starts.astype(np.float64) + sizes).max())  # as floats: damaged numbers may be beyond 64 bits
        if needed > self.size:
            yield Problem("plate-file-cut-short", {"file": self.name, "size": self.size, "needed": needed})

    def _inks(self, samples: int, *, process: bool) -> tuple[str, ...]:
        """Names of the inks: as told, as the file says, or as the specification says."""
        inside = [each.strip() for each in self.directory.text(Tag.InkNames).split("\0") if each.strip()]
        if samples == 1:
            page = inside or [self.directory.text(Tag.PageName).split("\0")[0].strip()]
            return (page[0] or label("artwork.page", page=self.directory.page),)
        first = PROCESS_INKS if process and samples >= len(PROCESS_INKS) else ()
        if len(inside) == samples:
            return tuple(inside)
        spots = inside if len(inside) == samples - len(first) else []
        rest = [label("artwork.spot", number=number) for number in range(len(first) + 1, samples + 1)]
        return (*first, *(spots or rest))

    def _too_few_bytes(self, layout: Layout) -> Iterator[Problem]:
        """Pieces that cannot hold what they should, however well they are packed."""
        pieces = layout.pieces
        rows = layout.rows_of(np.arange(pieces.offsets.size))
        full = rows * layout.bytes_of(pieces.width)
        # CCITT: every row takes a bit at least.
        least = rows / 8 if layout.packing.is_fax else full * _LEAST_BITS.get(layout.packing, 1.0)
        short = np.flatnonzero(pieces.lengths < np.maximum(np.floor(least), 1))
        if short.size:
            values = {"pieces": short.size, "bytes": int(pieces.lengths[short[0]]), "full": int(full[short[0]])}
            yield Problem("tiff-pieces-too-short", {"file": self.name, "page": layout.page} | values)
