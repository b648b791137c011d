"""The door for PDF: every file is read in a process of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from filmsplit.formats.bounded_process import USUAL, Bounds, Progress, bounded
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.pdf.asked import COARSEST_DPI, FINEST_DPI
from filmsplit.messages import Problem, Refusal

MOST_FILE_BYTES = 2 * 2**30
BEGINS, WITHIN = b"%PDF-", 1024
"""A header, perhaps behind something else: readers look so far (ISO 32000-1, annex H, note 13)."""


def is_pdf(begin: bytes) -> bool:
    """Whether a file that begins so is a PDF."""
    return BEGINS in begin[:WITHIN]


def pdf_coverage(path: Path, options: CoverageOptions, *, bounds: Bounds | None = None) -> CoverageRead:
    """The maps of a page, one for each ink it has. Raises ``Refusal``."""
    _not_too_large(path)
    return bounded(_read, path, _sent(options), file=str(path), bounds=bounds or USUAL, told=options.progress)


def pdf_page_size_mm(path: Path, options: CoverageOptions, *, bounds: Bounds | None = None) -> tuple[float, float]:
    """Length and width of the page. Raises ``Refusal``."""
    _not_too_large(path)
    return bounded(_size, path, _sent(options), file=str(path), bounds=bounds or USUAL)


def _sent(options: CoverageOptions) -> CoverageOptions:
    """What goes to the other process: drawn as finely as told, and with no progress of this one."""
    told = options.resolution_dpi
    if told is None:
        return replace(options, progress=None)
    dpi = min(max(told, COARSEST_DPI), FINEST_DPI)
    return replace(options, progress=None, pdf=replace(options.pdf, dpi=dpi))


def _not_too_large(path: Path) -> None:
    size = path.stat().st_size
    if size > MOST_FILE_BYTES:
        values = {"file": str(path), "megabytes": size // 2**20, "most": MOST_FILE_BYTES // 2**20}
        raise Refusal(Problem("pdf-too-large", values))


# In the other process -------------------------------------------------------------------------------------------------


def _read(path: Path, options: CoverageOptions, *, told: Progress) -> CoverageRead:
    from filmsplit.formats.pdf.read import read_pdf  # noqa: PLC0415 - the libraries are loaded there, not here

    return read_pdf(path, replace(options, progress=told))


def _size(path: Path, options: CoverageOptions, *, told: Progress) -> tuple[float, float]:
    from filmsplit.formats.pdf.read import pdf_size_mm  # noqa: PLC0415 - the libraries are loaded there, not here

    told(0, 1)
    return pdf_size_mm(path, options.pdf)
