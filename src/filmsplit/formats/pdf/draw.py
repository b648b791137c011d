"""Grey pages to dots: the library draws, one page an ink."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from io import BytesIO
from math import ceil

import numpy as np
import pikepdf
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name

from filmsplit.formats.coverage_limits import MM_PER_INCH
from filmsplit.formats.pdf.page import OpenPage

Dots = NDArray[np.uint8]
WHITE = 255


def size_in_dots(page: OpenPage, dpi: float) -> tuple[int, int]:
    """Rows and columns: whole dots, a little finer than asked where they do not fit."""
    down, across = (max(1, ceil(side / MM_PER_INCH * dpi - 1e-9)) for side in page.size_mm)
    return down, across


def grey_document(page: OpenPage, streams: tuple[bytes, ...], resources: tuple[Dictionary, ...]) -> bytes:
    """A document with one grey page for each ink."""
    made = pikepdf.new()
    for content, named in zip(streams, resources, strict=True):
        sheet = Dictionary(
            Type=Name.Page,
            MediaBox=Array(list(page.corners)),
            Rotate=page.turn,
            Resources=named,
            Contents=page.pdf.make_stream(content),
        )
        made.pages.append(pikepdf.Page(page.pdf.make_indirect(sheet)))
    kept = BytesIO()
    made.save(kept, compress_streams=False, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    return kept.getvalue()


def draw(document: bytes, size: tuple[int, int], *, told: Callable[[int], None]) -> Iterator[Dots]:
    """Ink by ink the dots, 255 where there is full ink. ``told`` each ink's place when it is done."""
    import pypdfium2  # noqa: PLC0415 - only PDF pays for it

    with pypdfium2.PdfDocument(document) as drawn:
        for plane in range(len(drawn)):
            sheet = drawn[plane]
            yield WHITE - _dots(sheet, size)
            sheet.close()
            told(plane)


def _dots(sheet: object, size: tuple[int, int]) -> Dots:
    """One page, stretched over exactly so many dots."""
    from pypdfium2 import PdfBitmap, raw  # noqa: PLC0415 - only PDF pays for it

    rows, columns = size
    bitmap = PdfBitmap.new_native(columns, rows, raw.FPDFBitmap_Gray)
    bitmap.fill_rect((WHITE, WHITE, WHITE, WHITE), 0, 0, columns, rows)
    raw.FPDF_RenderPageBitmap(bitmap, sheet, 0, 0, columns, rows, 0, raw.FPDF_GRAYSCALE)
    dots = np.array(bitmap.to_numpy(), dtype=np.uint8).reshape(rows, columns)
    bitmap.close()
    return dots
