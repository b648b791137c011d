"""The door for files of work: a plate file or a picture to coverage maps, whatever its name ends with."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.pdf.door import WITHIN, is_pdf, pdf_coverage, pdf_page_size_mm
from filmsplit.formats.picture_reader import picture_size_mm, read_picture
from filmsplit.formats.ppf_reader import is_ppf, ppf_size_mm, read_ppf
from filmsplit.formats.tiff_reader import read_tiff, tiff_size_mm
from filmsplit.messages import Problem, Refusal

PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
"""How PNG and JPEG begin."""
TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
"""How TIFF and BigTIFF begin, in either order of bytes."""


def read_coverage(path: Path, options: CoverageOptions | None = None) -> CoverageRead:
    """The maps of a plate file, one for each ink. Raises ``Refusal`` with everything that is wrong."""
    options = options or CoverageOptions()
    with _opened(path) as (file, kind):
        return kind.read(file, path, options)


def work_size_mm(path: Path, options: CoverageOptions | None = None) -> tuple[float, float]:
    """Length and width of the work as it is read, from the head of the file alone. Raises ``Refusal``."""
    options = options or CoverageOptions()
    with _opened(path) as (file, kind):
        return kind.size_mm(file, path, options)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """A kind of file: how its maps and its size are read."""

    read: Callable[[BinaryIO, Path, CoverageOptions], CoverageRead]
    size_mm: Callable[[BinaryIO, Path, CoverageOptions], tuple[float, float]]


_TIFF = _Kind(
    read=lambda file, path, options: read_tiff(file, path, options=options),
    size_mm=lambda file, path, options: tiff_size_mm(file, path, options=options),
)
_PICTURE = _Kind(
    read=lambda file, path, options: read_picture(file, path, options=options),
    size_mm=lambda file, path, options: picture_size_mm(file, path, options=options),
)
_PDF = _Kind(
    read=lambda _, path, options: pdf_coverage(path, options),
    size_mm=lambda _, path, options: pdf_page_size_mm(path, options),
)

_PPF = _Kind(
    read=lambda file, path, options: read_ppf(file, path, options=options),
    size_mm=lambda file, path, options: ppf_size_mm(file, path, options=options),
)


@contextmanager
def _opened(path: Path) -> Iterator[tuple[BinaryIO, _Kind]]:
    """The file and its kind, told by how it begins; refused if it is none that can be read."""
    try:
        with path.open("rb") as file:
            begin = file.read(WITHIN)
            if not begin:
                raise Refusal(Problem("plate-file-empty", {"file": str(path)}))
            kind = _kind(begin)
            if kind is None:
                raise Refusal(Problem("plate-file-unknown-kind", {"file": str(path)}))
            yield file, kind
    except OSError as error:
        values = {"file": str(path), "detail": error.strerror or ""}
        raise Refusal(Problem("file-not-readable", values)) from error


def _kind(begin: bytes) -> _Kind | None:
    if begin.startswith(TIFF):
        return _TIFF
    if begin.startswith(PICTURES):
        return _PICTURE
    if is_ppf(begin):
        return _PPF
    return _PDF if is_pdf(begin) else None
