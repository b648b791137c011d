"""The door for files of work: a plate file or a picture to coverage maps, whatever its name ends with."""

from __future__ import annotations

from pathlib import Path

from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.picture_reader import read_picture
from filmsplit.formats.tiff_reader import read_tiff
from filmsplit.messages import Problem, Refusal

PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
"""How PNG and JPEG begin."""
TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
"""How TIFF and BigTIFF begin, in either order of bytes."""


def read_coverage(path: Path, options: CoverageOptions | None = None) -> CoverageRead:
    """The maps of a plate file, one for each ink. Raises ``Refusal`` with everything that is wrong."""
    options = options or CoverageOptions()
    try:
        with path.open("rb") as file:
            begin = file.read(16)
            if not begin:
                raise Refusal(Problem("plate-file-empty", {"file": str(path)}))
            if begin.startswith(TIFF):
                return read_tiff(file, path, options=options)
            if begin.startswith(PICTURES):
                return read_picture(file, path, options=options)
    except OSError as error:
        values = {"file": str(path), "detail": error.strerror or ""}
        raise Refusal(Problem("file-not-readable", values)) from error
    raise Refusal(Problem("plate-file-unknown-kind", {"file": str(path)}))
