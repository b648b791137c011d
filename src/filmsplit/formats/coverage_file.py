"""The door for files of work: a plate file or a picture to coverage maps, whatever its name ends with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.picture_reader import picture_size_mm, read_picture
from filmsplit.formats.tiff_reader import read_tiff, tiff_size_mm
from filmsplit.messages import Problem, Refusal

PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
"""How PNG and JPEG begin."""
TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
"""How TIFF and BigTIFF begin, in either order of bytes."""


def read_coverage(path: Path, options: CoverageOptions | None = None) -> CoverageRead:
    """The maps of a plate file, one for each ink. Raises ``Refusal`` with everything that is wrong."""
    options = options or CoverageOptions()
    with _opened(path) as (file, is_tiff):
        return (read_tiff if is_tiff else read_picture)(file, path, options=options)


def work_size_mm(path: Path, options: CoverageOptions | None = None) -> tuple[float, float]:
    """Length and width of the work as it is read, from the head of the file alone. Raises ``Refusal``."""
    options = options or CoverageOptions()
    with _opened(path) as (file, is_tiff):
        return (tiff_size_mm if is_tiff else picture_size_mm)(file, path, options=options)


@contextmanager
def _opened(path: Path) -> Iterator[tuple[BinaryIO, bool]]:
    """The file, and whether it is a TIFF; refused if it is neither that nor a picture."""
    try:
        with path.open("rb") as file:
            begin = file.read(16)
            if not begin:
                raise Refusal(Problem("plate-file-empty", {"file": str(path)}))
            if not begin.startswith(TIFF + PICTURES):
                raise Refusal(Problem("plate-file-unknown-kind", {"file": str(path)}))
            yield file, begin.startswith(TIFF)
    except OSError as error:
        values = {"file": str(path), "detail": error.strerror or ""}
        raise Refusal(Problem("file-not-readable", values)) from error
