"""Work from somebody nobody has vouched for: every kind of file is read in a process of its own, with its bounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from filmsplit.formats.bounded_process import USUAL, Bounds, Progress, bounded
from filmsplit.formats.coverage_file import PICTURES, TIFF, read_coverage, work_size_mm
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.ink_zones_reader import InkZones, read_ink_zones
from filmsplit.formats.pdf.asked import COARSEST_DPI, PdfAsked
from filmsplit.formats.pdf.door import WITHIN, is_pdf, pdf_coverage, pdf_page_size_mm
from filmsplit.formats.ppf_reader import is_ppf
from filmsplit.messages import Problem, Refusal

COARSE_MM = 10.0
"""Cells while a file is only looked at."""
LOOKED_AT_DPI = 300.0
"""Taken for a look at a picture that does not say it; to be told before it is work."""
BEFORE_XML = b"\xef\xbb\xbf \t\r\n"
WIDE_XML = (b"\xff\xfe<\0", b"\xfe\xff\0<")
ENDINGS = ("tif", "png", "jpg", "ppf", "pdf", "xml")
"""How kept files end: by what they are, never by what somebody called them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InkSeen:
    """An ink of a file and its share of the whole picture (or the mean of its zones), 0 to 1."""

    name: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a file holds. ``pages`` more than 1: one is to be chosen, and no ink is told before. ``needs_dpi``: the file
    does not say how fine its dots are. ``size_mm`` is ``None`` where that is not known, and for figures by zone."""

    pages: int = 1
    inks: tuple[InkSeen, ...] = ()
    size_mm: tuple[float, float] | None = None
    needs_dpi: bool = False


def ending_of(begin: bytes) -> str | None:
    """What a file is, by how it begins; ``None`` where it is no work."""
    if begin.startswith(TIFF):
        return "tif"
    if begin.startswith(PICTURES):
        return "png" if begin.startswith(PICTURES[0]) else "jpg"
    if is_ppf(begin):
        return "ppf"
    if begin.lstrip(BEFORE_XML).startswith(b"<") or begin.startswith(WIDE_XML):
        return "xml"
    return "pdf" if is_pdf(begin) else None


def look_at(path: Path, *, bounds: Bounds = USUAL) -> Seen:
    """What a kept file holds, read whole once. Raises ``Refusal`` where it is no work."""
    return bounded(_look, path, file=str(path), bounds=bounds)


def strange_coverage(path: Path, options: CoverageOptions, *, bounds: Bounds = USUAL) -> CoverageRead:
    """As :func:`read_coverage`, in a process of its own. Raises ``Refusal``."""
    if _is_pdf(path):
        return pdf_coverage(path, options, bounds=bounds)
    told = options.progress
    return bounded(_read, path, replace(options, progress=None), file=str(path), bounds=bounds, told=told)


def strange_size_mm(path: Path, options: CoverageOptions, *, bounds: Bounds = USUAL) -> tuple[float, float]:
    """As :func:`work_size_mm`, in a process of its own. Raises ``Refusal``."""
    if _is_pdf(path):
        return pdf_page_size_mm(path, options, bounds=bounds)
    return bounded(_size, path, replace(options, progress=None), file=str(path), bounds=bounds)


def strange_ink_zones(path: Path, *, bounds: Bounds = USUAL) -> tuple[InkZones, ...]:
    """As :func:`read_ink_zones`, in a process of its own. Raises ``Refusal``."""
    return bounded(_zones, path, file=str(path), bounds=bounds)


def _is_pdf(path: Path) -> bool:
    return _begin(path) == "pdf"


def _begin(path: Path) -> str | None:
    try:
        with path.open("rb") as file:
            return ending_of(file.read(WITHIN))
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(path), "detail": error.strerror or ""})) from error


# In the other process -------------------------------------------------------------------------------------------------


def _read(path: Path, options: CoverageOptions, *, told: Progress) -> CoverageRead:
    return read_coverage(path, replace(options, progress=told))


def _size(path: Path, options: CoverageOptions, *, told: Progress) -> tuple[float, float]:
    told(0, 1)
    return work_size_mm(path, options)


def _zones(path: Path, *, told: Progress) -> tuple[InkZones, ...]:
    told(0, 1)
    return tuple(replace(each, part=dict(each.part)) for each in read_ink_zones(path))


def _look(path: Path, *, told: Progress) -> Seen:
    told(0, 1)
    ending = _begin(path)
    if ending == "xml":
        shares = tuple((each.ink, each.shares) for each in read_ink_zones(path))
        return Seen(inks=tuple(InkSeen(name=ink, share=sum(each) / len(each)) for ink, each in shares))
    options = CoverageOptions(cell_mm=COARSE_MM, pdf=PdfAsked(dpi=COARSEST_DPI))
    try:
        return _held(path, options, is_pdf=ending == "pdf")
    except Refusal as refusal:
        slugs = {each.slug for each in refusal.problems}
        values = refusal.problems[0].values
        if slugs in ({"pdf-which-page"}, {"ppf-which-side"}):
            return Seen(pages=_count(values))
        if slugs != {"plate-resolution-missing"}:
            raise
        seen = _held(path, replace(options, resolution_dpi=LOOKED_AT_DPI), is_pdf=False)
        return replace(seen, size_mm=None, needs_dpi=True)


def _count(values: Mapping[str, object]) -> int:
    return int(str(values.get("pages") or values.get("sides")))


def _held(path: Path, options: CoverageOptions, *, is_pdf: bool) -> Seen:
    read = _read_pdf(path, options) if is_pdf else read_coverage(path, options)
    inks = tuple(InkSeen(name=each.ink, share=each.mean) for each in read.maps)
    first = read.maps[0]
    return Seen(inks=inks, size_mm=(first.round_mm, first.across_mm))


def _read_pdf(path: Path, options: CoverageOptions) -> CoverageRead:
    from filmsplit.formats.pdf.read import read_pdf  # noqa: PLC0415 - the libraries are loaded here only

    return read_pdf(path, options)
