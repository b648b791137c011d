"""The demo works as the plate files a plate-setter would get."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from filmsplit.figures.lettering import font_bytes
from filmsplit.formats.tiff_write import PlateFile, write_plate
from filmsplit.library.works import DEMO_JOB, GIGAPIXEL, Work, demo_works

Progress = Callable[[str, float], None]
"""Told which file is written, and how much of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkWritten:
    """A work and its files, one for each plate in order."""

    work: Work
    files: tuple[Path, ...]


def works() -> dict[str, Work]:
    """Every demo work by its slug."""
    return demo_works(regular=font_bytes(bold=False), bold=font_bytes(bold=True))


def demo_job() -> Work:
    """The work the demo sets a press up for."""
    return works()[DEMO_JOB]


def write_work(work: Work, folder: Path, *, progress: Progress | None = None) -> WorkWritten:
    """One TIFF file for each plate, in the memory of one strip; files of the same name are written over."""
    files = []
    for plate in work.plates:
        file = folder / work.file_name(plate)
        head = PlateFile(size=plate.size, dpi=plate.dpi, ink=plate.ink)
        write_plate(file, head, plate.rows, progress=_told(file, progress))
        files.append(file)
    return WorkWritten(work=work, files=tuple(files))


def write_works(folder: Path, *, gigapixel: bool = False, progress: Progress | None = None) -> tuple[WorkWritten, ...]:
    """All works; the very large one only where it is asked for."""
    asked = [work for work in works().values() if gigapixel or work.slug != GIGAPIXEL]
    return tuple(write_work(work, folder, progress=progress) for work in asked)


def _told(file: Path, progress: Progress | None) -> Callable[[int, int], None] | None:
    if progress is None:
        return None
    tell = progress  # a name the checker knows to be no None
    return lambda done, rows: tell(file.name, done / rows)
