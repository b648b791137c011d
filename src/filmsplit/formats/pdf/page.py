"""A document opened, and the page that is meant: its box, its turn, its size."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary
from pikepdf.settings import set_qpdf_limits

from filmsplit.formats.coverage_limits import LONGEST_MM, MM_PER_INCH
from filmsplit.formats.pdf.asked import PageBox, PdfAsked
from filmsplit.formats.pdf.unpacked import MOST_FILTERS
from filmsplit.messages import Problem, Refusal

POINTS_PER_INCH = 72.0
SHORTEST_MM = 1.0
INHERITED = ("/Resources", "/MediaBox", "/CropBox", "/Rotate")
MOST_ANCESTORS = 64
MOST_STREAM_BYTES = 2**30
"""For the library, which is told so for the whole process (a sheet of 72 x 102 cm at 300 dots to the inch has 0.4 GB in
four inks)."""
KEYS = {
    PageBox.MEDIA: "/MediaBox",
    PageBox.CROP: "/CropBox",
    PageBox.BLEED: "/BleedBox",
    PageBox.TRIM: "/TrimBox",
    PageBox.ART: "/ArtBox",
}
LETTER = (0.0, 0.0, 612.0, 792.0)
"""What readers take where a page tells no box at all (memory)."""

Corners = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPage:
    """A page of an open document. ``corners`` is the box asked for, in units of the page; ``unit_mm`` one such unit;
    ``turn`` how far the page is turned clockwise to be read, degrees."""

    pdf: pikepdf.Pdf
    page: pikepdf.Page
    number: int
    resources: Dictionary
    corners: Corners
    unit_mm: float
    turn: int

    @property
    def size_mm(self) -> tuple[float, float]:
        """Height and width as the page is read."""
        left, bottom, right, top = self.corners
        size = (top - bottom) * self.unit_mm, (right - left) * self.unit_mm
        return size if self.turn % 180 == 0 else size[::-1]


@contextmanager
def opened(path: Path, asked: PdfAsked) -> Iterator[OpenPage]:
    """The page of a file. Raises ``Refusal`` where there is no such page, or none can be read."""
    name = str(path)
    _bound_the_library()
    try:
        pdf = pikepdf.open(path, password=asked.password, suppress_warnings=True)
    except pikepdf.PasswordError as error:
        raise Refusal(Problem("pdf-encrypted", {"file": name})) from error
    except (pikepdf.PdfError, ValueError, RuntimeError) as error:
        raise Refusal(Problem("pdf-damaged", {"file": name})) from error
    with pdf:
        yield _page(pdf, name, asked=asked)


def _bound_the_library() -> None:
    set_qpdf_limits(
        max_stream_filters=MOST_FILTERS,
        flate_max_memory=MOST_STREAM_BYTES,
        run_length_max_memory=MOST_STREAM_BYTES,
        png_max_memory=MOST_STREAM_BYTES,
        tiff_max_memory=MOST_STREAM_BYTES,
        dct_max_memory=MOST_STREAM_BYTES,
    )


def _page(pdf: pikepdf.Pdf, name: str, *, asked: PdfAsked) -> OpenPage:
    try:
        count = len(pdf.pages)
        problem = _no_such_page(asked, count, name=name)
        if problem is not None:
            raise Refusal(problem)
        number = asked.page or 1
        return _found(pdf, number, name=name, box=asked.box)
    except (pikepdf.PdfError, ValueError, TypeError, RuntimeError, KeyError, IndexError, AttributeError) as error:
        raise Refusal(Problem("pdf-damaged", {"file": name})) from error


def _no_such_page(asked: PdfAsked, count: int, *, name: str) -> Problem | None:
    if count == 0:
        return Problem("pdf-no-pages", {"file": name})
    if asked.page is None and count > 1:
        return Problem("pdf-which-page", {"file": name, "pages": count})
    if asked.page is not None and not 1 <= asked.page <= count:
        return Problem("pdf-page-missing", {"file": name, "page": asked.page, "pages": count})
    return None


def _found(pdf: pikepdf.Pdf, number: int, *, name: str, box: PageBox) -> OpenPage:
    page = pdf.pages[number - 1]
    held = _inherited(page.obj)
    resources = held.get("/Resources")
    unit = float(page.obj.get("/UserUnit", 1.0))
    found = OpenPage(
        pdf=pdf,
        page=page,
        number=number,
        resources=resources if isinstance(resources, Dictionary) else Dictionary(),
        corners=_corners(page.obj, held, box=box),
        unit_mm=unit * MM_PER_INCH / POINTS_PER_INCH,
        turn=int(held.get("/Rotate", 0)) // 90 * 90 % 360,
    )
    sides = found.size_mm
    if not (isfinite(unit) and all(isfinite(each) and SHORTEST_MM <= each <= LONGEST_MM for each in sides)):
        values = {"file": name, "page": number, "long_mm": sides[0], "wide_mm": sides[1]}
        raise Refusal(Problem("pdf-page-size-absurd", values | {"least_mm": SHORTEST_MM, "most_mm": LONGEST_MM}))
    return found


def _inherited(page: pikepdf.Object) -> dict[str, pikepdf.Object]:
    """Entries that a page may leave to the nodes above it."""
    held: dict[str, pikepdf.Object] = {}
    node: pikepdf.Object | None = page
    for _ in range(MOST_ANCESTORS):
        if not isinstance(node, Dictionary):
            break
        held |= {key: node[key] for key in INHERITED if key in node and key not in held}
        node = node.get("/Parent")
    return held


def _corners(page: pikepdf.Object, held: dict[str, pikepdf.Object], *, box: PageBox) -> Corners:
    """The box asked for, within the media box; where it is not told, the crop box, and without that the media box."""
    media = _rectangle(held.get("/MediaBox")) or LETTER
    crop = _within(_rectangle(held.get("/CropBox")) or media, media)
    if box is PageBox.MEDIA:
        return media
    told = None if box is PageBox.CROP else _rectangle(page.get(KEYS[box]))
    return crop if told is None else _within(told, media)


def _rectangle(told: object) -> Corners | None:
    """Any two opposite corners, in order."""
    if not isinstance(told, Array) or len(told) < 4:
        return None
    x0, y0, x1, y1 = (float(each) for each in list(told)[:4])
    return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _within(inner: Corners, outer: Corners) -> Corners:
    """Both boxes' common part; the outer one where there is none."""
    left, bottom = max(inner[0], outer[0]), max(inner[1], outer[1])
    right, top = min(inner[2], outer[2]), min(inner[3], outer[3])
    return (left, bottom, right, top) if left < right and bottom < top else outer
