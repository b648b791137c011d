"""A PDF looked at from outside: its texts, sizes and lines, measured by another program than the one that made it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pypdfium2
from pypdfium2 import raw

MM_PER_POINT = 25.4 / 72


@dataclass(frozen=True)
class Page:
    text: str
    size_mm: tuple[float, float]
    boxes_mm: tuple[tuple[float, float, float, float], ...]
    """Left, bottom, right, top of every path, from the page's lower left corner."""


def pages(data: bytes) -> list[Page]:
    document = pypdfium2.PdfDocument(data)
    try:
        return [_page(document[number]) for number in range(len(document))]
    finally:
        document.close()


def _page(page: pypdfium2.PdfPage) -> Page:
    text = page.get_textpage()
    width, height = (MM_PER_POINT * each for each in page.get_size())
    return Page(text.get_text_range().replace("\r\n", "\n"), (width, height), tuple(_boxes(page)))


def _boxes(page: pypdfium2.PdfPage) -> Iterator[tuple[float, float, float, float]]:
    for found in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = (MM_PER_POINT * each for each in found.get_bounds())
        yield left, bottom, right, top
