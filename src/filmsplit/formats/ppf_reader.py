"""Preview pictures of a job file (CIP3 Print Production Format 3.0, a public specification) to coverage maps.

Which word and field means what is from memory of that specification. Nothing of the file is carried out: it is read as
a list of fields between the words that open and close its parts.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

import numpy as np

from filmsplit.artwork import CoverageMap, Source, Step, StepKind
from filmsplit.formats.coverage_cells import cells_for
from filmsplit.formats.coverage_count import count_values
from filmsplit.formats.coverage_limits import MM_PER_INCH, sizes_possible
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.ppf_data import Dots, Short, picture_dots
from filmsplit.formats.ppf_fields import Picture, Scope, names_of, picture_of
from filmsplit.formats.ppf_tokens import Broken, Name, Scanner, Token, Word
from filmsplit.messages import Problem, Refusal, label

BEGINS = re.compile(rb"%!PS-Adobe-[\d.]+[ \t]*[\r\n]+%%CIP3-File", re.ASCII)
MOST_FILE_BYTES = 2**29
MOST_PICTURES = 256
MOST_OPEN = 64
PICTURE, SEPARATION = "PreviewImage", "Separation"
SIDES = frozenset({"Front", "Back"})
_WORD = re.compile(r"CIP3(Begin|End)(\w+)")
PROCESS_INKS = ("Cyan", "Magenta", "Yellow", "Black")
FULL = 65535


def is_ppf(begin: bytes) -> bool:
    """Whether a file that begins so is a job file of this kind."""
    return BEGINS.match(begin) is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Preview:
    """One picture: rows and columns as it is seen, 255 is full ink. ``names`` are those told for its side."""

    picture: Picture
    dots: Dots
    is_separation: bool
    names: tuple[str, ...]


def read_ppf(file: BinaryIO, path: Path, *, options: CoverageOptions) -> CoverageRead:
    """The maps of one side of a sheet, one for each ink. Raises ``Refusal``."""
    number, side = _side(file, path, options=options)
    maps = tuple(_maps(side, path, page=number, options=options))
    if options.inks and len(options.inks) != len(maps):
        values = {"file": str(path), "inks": len(maps), "told": len(options.inks)}
        raise Refusal(Problem("plate-inks-do-not-fit", values))
    told = [each.changed(None, ink=ink) for each, ink in zip(maps, options.inks, strict=False)]
    if options.progress:
        options.progress(len(maps), len(maps))
    dpi = min(side[0].picture.dots_per_mm) * MM_PER_INCH
    return CoverageRead(
        maps=tuple(told or maps), notices=(Problem("ppf-preview-read", {"file": str(path), "dpi": dpi}),)
    )


def ppf_size_mm(file: BinaryIO, path: Path, *, options: CoverageOptions) -> tuple[float, float]:
    """Length and width of the side. Raises ``Refusal`` as :func:`read_ppf` would."""
    _, side = _side(file, path, options=options)
    (rows, columns), (down, across) = side[0].picture.size, _dots_per_mm(side[0], options)
    return rows / down, columns / across


def _side(file: BinaryIO, path: Path, *, options: CoverageOptions) -> tuple[int, list[_Preview]]:
    """The number of the side asked for, and its pictures: the separations where there are any."""
    name = str(path)
    file.seek(0)
    data = file.read(MOST_FILE_BYTES + 1)
    if len(data) > MOST_FILE_BYTES:
        raise Refusal(Problem("ppf-too-large", {"file": name, "most": MOST_FILE_BYTES // 2**20}))
    sides = [side for side in _Reading(name).read(data) if side]
    number = options.pdf.page or 1
    if not sides:
        raise Refusal(Problem("ppf-without-preview", {"file": name}))
    if options.pdf.page is None and len(sides) > 1:
        raise Refusal(Problem("ppf-which-side", {"file": name, "sides": len(sides)}))
    if not 1 <= number <= len(sides):
        raise Refusal(Problem("ppf-side-missing", {"file": name, "page": number, "sides": len(sides)}))
    side = sides[number - 1]
    separations = [each for each in side if each.is_separation]
    side = separations or side[:1]
    _check_sizes(side, name, options=options)
    return number, side


def _check_sizes(side: list[_Preview], name: str, *, options: CoverageOptions) -> None:
    first = side[0]
    problems = list(sizes_possible(*first.picture.size, dots_per_mm=_dots_per_mm(first, options), name=name))
    if any(
        each.picture.size != first.picture.size or each.picture.dots_per_mm != first.picture.dots_per_mm
        for each in side
    ):
        problems.append(Problem("ppf-sizes-differ", {"file": name}))
    if problems:
        raise Refusal(problems)


def _dots_per_mm(preview: _Preview, options: CoverageOptions) -> tuple[float, float]:
    if options.resolution_dpi is not None:
        return (options.resolution_dpi / MM_PER_INCH,) * 2
    return preview.picture.dots_per_mm


@dataclass(slots=True)
class _Reading:
    """One walk through a file: the parts that are open, their fields, and the pictures by side."""

    name: str
    opened: list[str] = field(default_factory=list)
    scopes: list[Scope] = field(default_factory=lambda: [{}])
    sides: list[list[_Preview]] = field(default_factory=lambda: [[]])
    pictures: int = 0

    def read(self, data: bytes) -> list[list[_Preview]]:
        scanner, last = Scanner(data), [None, None]  # type: tuple[Scanner, list[Token | None]]
        try:
            while (token := scanner.next()) is not None:
                if isinstance(token, Word):
                    self._word(token.name, last, scanner=scanner)
                last = [last[1], token]
        except Broken as broken:
            raise Refusal(Problem("ppf-damaged", {"file": self.name, "at": broken.at})) from broken
        if any(each in (PICTURE, SEPARATION) for each in self.opened):
            raise Refusal(Problem("ppf-damaged", {"file": self.name, "at": len(data)}))
        return self.sides

    def _word(self, word: str, last: list[Token | None], *, scanner: Scanner) -> None:
        if word == "def":
            key, value = last
            if isinstance(key, Name) and value is not None:
                self.scopes[-1][key.name] = value
            return
        if word == "CIP3" + PICTURE:
            self._picture(scanner)
            return
        found = _WORD.fullmatch(word)
        if found is not None:
            (self._open if found[1] == "Begin" else self._close)(found[2], scanner=scanner)

    def _open(self, part: str, *, scanner: Scanner) -> None:
        if len(self.opened) >= MOST_OPEN:
            raise Broken(scanner.at)
        self.opened.append(part)
        self.scopes.append({})
        if part in SIDES:
            self.sides.append([])

    def _close(self, part: str, *, scanner: Scanner) -> None:
        if not self.opened or self.opened[-1] != part:
            raise Broken(scanner.at)
        self.opened.pop()
        self.scopes.pop()
        if part in SIDES:
            self.sides.append([])  # what comes behind a side and before the next belongs to neither

    def _picture(self, scanner: Scanner) -> None:
        self.pictures += 1
        if self.pictures > MOST_PICTURES:
            raise Broken(scanner.at)
        picture = picture_of(self.scopes, self.name)
        try:
            dots = picture_dots(scanner, picture.shape, encoding=picture.encoding, compression=picture.compression)
        except Short as short:
            values = {"file": self.name, "picture": self.pictures, "found": short.found, "needed": short.needed}
            raise Refusal(Problem("ppf-data-short", values)) from short
        self.sides[-1].append(
            _Preview(
                picture=picture,
                dots=_as_ink(_upright(dots, picture), picture),
                is_separation=SEPARATION in self.opened,
                names=names_of(self.scopes),
            )
        )


def _upright(dots: Dots, picture: Picture) -> Dots:
    seen = dots.transpose(1, 0, 2) if picture.transposed else dots
    seen = seen[::-1] if picture.upwards else seen
    return seen[:, ::-1] if picture.mirrored else seen


def _as_ink(dots: Dots, picture: Picture) -> Dots:
    """A single value is light, as grey in PostScript: 0 is full ink. Four are ink: 255 is full."""
    ink = 255 - dots if picture.shape.components == 1 else dots
    return np.ascontiguousarray(255 - ink if picture.is_negative else ink)


def _maps(side: list[_Preview], path: Path, *, page: int, options: CoverageOptions) -> Iterator[CoverageMap]:
    first, names = side[0], list(_names(side))
    rows, columns = first.picture.size
    cells = cells_for(rows, columns, dots_per_mm=_dots_per_mm(first, options), options=options)
    table = None if options.curve is None else np.rint(FULL * options.curve(np.arange(256) / 255)).astype(np.uint16)
    source = Source(file=path.name, kind=label("picture_kind.ppf"), page=page, dots=(rows, columns))
    steps = tuple(_steps(_dots_per_mm(first, options), options))
    planes = [each.dots[..., [plane]] for each in side for plane in range(each.picture.shape.components)]
    for name, dots in zip(names, planes, strict=True):
        sums = count_values(dots, 0, cells, table=table).sums[..., 0]
        shares = sums / (cells.dots * (255 if table is None else FULL))
        yield cells.map_of(shares, name, source=source, steps=steps)


def _names(side: list[_Preview]) -> Iterator[str]:
    if not side[0].is_separation and side[0].picture.shape.components == len(PROCESS_INKS):
        yield from PROCESS_INKS
        return
    told = side[0].names
    for number in range(len(side)):
        yield told[number] if number < len(told) else label("artwork.page", page=number + 1)


def _steps(dots_per_mm: tuple[float, float], options: CoverageOptions) -> Iterator[Step]:
    down, across = (f"{each * MM_PER_INCH:.6g}" for each in dots_per_mm)
    yield Step(StepKind.READ, {"down": down, "across": across})
    if options.resolution_dpi is not None:
        yield Step(StepKind.RESOLUTION, {"dpi": f"{options.resolution_dpi:.6g}"})
    if options.curve is not None:
        yield Step(StepKind.CURVE, {"curve": str(options.curve)})
