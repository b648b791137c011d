"""Grey and CMYK pictures that are no TIFF: PNG and JPEG, through Pillow, whole but never larger than memory allows."""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import numpy as np
from numpy.typing import NDArray

from filmsplit.artwork import CoverageMap, Source, Step, StepKind
from filmsplit.formats.coverage_cells import cells_for
from filmsplit.formats.coverage_count import count_values
from filmsplit.formats.coverage_limits import MM_PER_INCH, sizes_possible
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.tiff_checks import PROCESS_INKS
from filmsplit.messages import Problem, Refusal, label

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 256 * 2**20
"""Unpacked. Enough for 52 x 36 cm at 800 dpi in grey; larger work comes as TIFF, which is read in bands."""
MOST_FILE_BYTES = 2 * 2**30
FULL = 65535
INKS = {"1": 1, "L": 1, "CMYK": 4}
EXIF_UNITS_MM = {2: MM_PER_INCH, 3: 10.0}
_DAMAGE = (
    OSError,
    ValueError,
    SyntaxError,
    TypeError,
    LookupError,
    ArithmeticError,
    EOFError,
    struct.error,
    zlib.error,
)
"""What Pillow raises over damaged pictures (a broken chunk is a SyntaxError to it)."""
EXIF_X, EXIF_Y, EXIF_UNIT = 0x011A, 0x011B, 0x0128


@dataclass(frozen=True, slots=True)
class _Opened:
    """A picture whose head was read; its dots were not."""

    picture: Image
    name: str
    dots_per_mm: tuple[float, float]


def read_picture(file: BinaryIO, path: Path, *, options: CoverageOptions) -> CoverageRead:
    """The maps of an open PNG or JPEG file: one of a grey picture, four of a CMYK one. Raises ``Refusal``."""
    name = str(path)
    with no_surprises(name):
        opened = _opened(file, name, options=options)
        values = _values(opened.picture)
    maps = tuple(_maps_of(values, opened, options=options, path=path))
    if options.progress:
        options.progress(len(values), len(values))
    return CoverageRead(maps=maps)


def picture_size_mm(file: BinaryIO, path: Path, *, options: CoverageOptions) -> tuple[float, float]:
    """Length and width of an open PNG or JPEG file. Raises ``Refusal`` as :func:`read_picture` would."""
    with no_surprises(str(path)):
        opened = _opened(file, str(path), options=options)
        down, across = opened.dots_per_mm
        return opened.picture.height / down, opened.picture.width / across


@contextmanager
def no_surprises(name: str) -> Iterator[None]:
    """Whatever Pillow finds wrong while it reads is a damaged file; its warnings are for programmers."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except _DAMAGE as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise  # not the picture, the disk
        raise Refusal(Problem("picture-damaged", {"file": name})) from error


def _opened(file: BinaryIO, name: str, *, options: CoverageOptions) -> _Opened:
    """Everything that can be wrong before a dot is unpacked."""
    from PIL import Image  # noqa: PLC0415  # heavy

    file.seek(0, io.SEEK_END)
    if file.tell() > MOST_FILE_BYTES:
        raise Refusal(Problem("picture-too-large", _too_large(name, file.tell())))
    file.seek(0)
    with without_bomb_alarm(Image):
        picture = Image.open(file, formats=("PNG", "JPEG"))
    problems = [*_not_read(picture, name)]
    dots_per_mm = _resolution(picture, options=options)
    if dots_per_mm is None:
        values = {"file": name, "page": 1, "rows": picture.height, "columns": picture.width}
        problems.append(Problem("plate-resolution-missing", values))
    else:
        problems += sizes_possible(picture.height, picture.width, dots_per_mm=dots_per_mm, name=name)
    if options.inks and len(options.inks) != INKS.get(picture.mode, 1):
        values = {"file": name, "inks": INKS.get(picture.mode, 1), "told": len(options.inks)}
        problems.append(Problem("plate-inks-do-not-fit", values))
    if problems or dots_per_mm is None:
        raise Refusal(problems)
    return _Opened(picture, name, dots_per_mm)


@contextmanager
def without_bomb_alarm(image: object) -> Iterator[None]:
    """Pillow has a bound of its own, in dots; ours is in bytes and comes with a message."""
    before = image.MAX_IMAGE_PIXELS  # type: ignore[attr-defined]
    image.MAX_IMAGE_PIXELS = None  # type: ignore[attr-defined]
    try:
        yield
    finally:
        image.MAX_IMAGE_PIXELS = before  # type: ignore[attr-defined]


def _not_read(picture: Image, name: str) -> Iterator[Problem]:
    if picture.mode in ("RGB", "P", "RGBA", "PA", "LA", "YCbCr", "LAB", "HSV"):
        transparent = picture.mode in ("RGBA", "PA", "LA")
        kind = label("picture_kind.transparent") if transparent else label("picture_kind.colours")
        yield Problem("plate-picture-in-colours", {"file": name, "page": 1, "kind": kind})
    elif picture.mode not in INKS:
        yield Problem("picture-bits-not-read", {"file": name, "kind": picture.mode})
    if picture.mode in INKS and "transparency" in picture.info:
        kind = label("picture_kind.transparent")
        yield Problem("plate-picture-in-colours", {"file": name, "page": 1, "kind": kind})
    size = picture.height * picture.width * INKS.get(picture.mode, 4)
    if size > MOST_BYTES:
        yield Problem("picture-too-large", _too_large(name, size))


def _too_large(name: str, size: int) -> dict[str, object]:
    return {"file": name, "megabytes": size / 2**20, "most": MOST_BYTES // 2**20}


def _resolution(picture: Image, *, options: CoverageOptions) -> tuple[float, float] | None:
    """Dots to a millimetre down and across; ``None`` where the file tells only a shape, or nothing.

    For a JPEG without a unit Pillow answers 72: that is its guess, not the file's word.
    """
    if options.resolution_dpi is not None:
        return (options.resolution_dpi / MM_PER_INCH,) * 2
    told = picture.info.get("dpi")
    if picture.format == "JPEG" and picture.info.get("jfif_unit") not in (1, 2):
        exif = picture.getexif()
        unit = EXIF_UNITS_MM.get(int(exif.get(EXIF_UNIT, 0) or 0))
        across, down = (float(exif.get(tag, 0) or 0) for tag in (EXIF_X, EXIF_Y))
        return (down / unit, across / unit) if unit and down > 0 and across > 0 else None
    if told is None or not (told[0] > 0 and told[1] > 0):
        return None
    return float(told[1]) / MM_PER_INCH, float(told[0]) / MM_PER_INCH


def _values(picture: Image) -> NDArray[np.uint8]:
    """``rows x columns x inks``; 255 is full ink in every kind.

    Grey pictures have black at 0. CMYK JPEG stores ink upside down where its Adobe marker stands (APP14) and straight
    where it does not; Pillow always takes it as upside down.
    """
    dots = np.asarray(picture, dtype=np.uint8)
    if picture.mode == "1":
        return np.where(dots != 0, np.uint8(0), np.uint8(255))[..., None]
    if picture.mode == "L":
        return (255 - dots)[..., None]
    return dots if "adobe" in picture.info else 255 - dots


def _maps_of(
    values: NDArray[np.uint8], opened: _Opened, *, options: CoverageOptions, path: Path
) -> Iterator[CoverageMap]:
    rows, columns, inks = values.shape
    cells = cells_for(rows, columns, dots_per_mm=opened.dots_per_mm, options=options)
    table = None if options.curve is None else np.rint(FULL * options.curve(np.arange(256) / 255)).astype(np.uint16)
    sums = count_values(values, 0, cells, table=table).sums
    names = options.inks or (PROCESS_INKS if inks > 1 else (label("artwork.page", page=1),))
    kind = label("picture_kind.grey" if inks == 1 else "picture_kind.separated", format=opened.picture.format)
    source = Source(file=path.name, kind=kind, dots=(rows, columns))
    steps = tuple(_steps(opened.dots_per_mm, options))
    for ink, name in enumerate(names):
        shares = sums[..., ink] / (cells.dots * (255 if table is None else FULL))
        yield cells.map_of(shares, name, source=source, steps=steps)


def _steps(dots_per_mm: tuple[float, float], options: CoverageOptions) -> Iterator[Step]:
    down, across = (f"{each * MM_PER_INCH:.6g}" for each in dots_per_mm)
    yield Step(StepKind.READ, {"down": down, "across": across})
    if options.resolution_dpi is not None:
        yield Step(StepKind.RESOLUTION, {"dpi": f"{options.resolution_dpi:.6g}"})
    if options.curve is not None:
        yield Step(StepKind.CURVE, {"curve": str(options.curve)})
