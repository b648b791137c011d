"""A PDF looked at from outside: its texts, sizes and lines, measured by another program than the one that made it."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdfium2 import raw

MM_PER_POINT = 25.4 / 72
DOTS_PER_MM = 4.0
MEETS = 0.15
"""Glyph boxes that share more than this part of the smaller one lie over each other; less is a slanted neighbour."""
FITTED = 0.12
"""A sign may reach into the one before it by this part of its height: so far a typeface itself sets J under K."""
_LINE_MM = 0.7
Box = tuple[float, float, float, float]
"""Left, bottom, right, top, mm from the page's lower left corner."""


@dataclass(frozen=True)
class Glyph:
    """A sign that leaves a mark on the paper."""

    sign: str
    box_mm: Box


@dataclass(frozen=True)
class Page:
    text: str
    size_mm: tuple[float, float]
    boxes_mm: tuple[Box, ...]
    """Of every path."""
    closed_mm: tuple[Box, ...]
    """Of the paths with four sides or more."""
    glyphs: tuple[Glyph, ...]
    sizes_pt: tuple[tuple[float, str], ...]
    """Size of the letters on paper, with their words, for every piece of text."""

    @property
    def lines_mm(self) -> list[Box]:
        """Straight lines, upright or level."""
        return [box for box in self.boxes_mm if min(box[2] - box[0], box[3] - box[1]) < _LINE_MM]

    def overlapping(self) -> list[str]:
        """Pairs of signs that lie over each other."""
        boxes = _array([glyph.box_mm for glyph in self.glyphs])
        own = np.prod(boxes[:, 2:] - boxes[:, :2], axis=1)
        reach = np.clip(_shared(boxes, boxes), 0.0, None)
        meets = np.triu(np.prod(reach, axis=2) > MEETS * np.minimum(own[:, None], own[None]), k=1)
        tall = np.minimum(boxes[:-1, 3] - boxes[:-1, 1], boxes[1:, 3] - boxes[1:, 1])
        one, next_one = np.arange(len(boxes) - 1), np.arange(1, len(boxes))
        meets[one, next_one] &= reach[one, next_one, 0] > FITTED * tall
        found = np.argwhere(meets)
        return [f"{self.glyphs[i].sign}{self.glyphs[j].sign} at {self.glyphs[i].box_mm}" for i, j in found]

    def crossed(self) -> list[str]:
        """Signs with a straight line through them, by more than a tenth of a millimetre both ways."""
        boxes = _array([glyph.box_mm for glyph in self.glyphs])
        lines = _array(
            [(left - 0.1, bottom - 0.1, right + 0.1, top + 0.1) for left, bottom, right, top in self.lines_mm]
        )
        found = np.argwhere(np.all(_shared(boxes, lines) > 0.2, axis=2))
        return [f"{self.glyphs[i].sign} at {self.glyphs[i].box_mm}" for i, _ in found]


def _array(boxes: list[Box]) -> NDArray[np.float64]:
    return np.array(boxes, dtype=np.float64).reshape(-1, 4)


def _shared(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far boxes reach into each other, [one][other][across, up]; below zero where they do not meet."""
    high = np.minimum(one[:, None, 2:], other[None, :, 2:])
    return np.asarray(high - np.maximum(one[:, None, :2], other[None, :, :2]))


def pages(data: bytes) -> list[Page]:
    document = pypdfium2.PdfDocument(data)
    try:
        return [_page(document[number]) for number in range(len(document))]
    finally:
        document.close()


def dots(data: bytes) -> list[NDArray[np.uint8]]:
    """Every page as a printer would be given it: [from the top][from the left][red, green, blue]."""
    document = pypdfium2.PdfDocument(data)
    try:
        scale = DOTS_PER_MM * MM_PER_POINT
        return [np.array(page.render(scale=scale, rev_byteorder=True).to_numpy()[..., :3]) for page in document]
    finally:
        document.close()


def _page(page: pypdfium2.PdfPage) -> Page:
    text = page.get_textpage()
    width, height = (MM_PER_POINT * each for each in page.get_size())
    return Page(
        text.get_text_range().replace("\r\n", "\n"),
        (width, height),
        tuple(_boxes(page)),
        tuple(_boxes(page, sides=4)),
        tuple(_glyphs(text)),
        tuple(_sizes(page, text)),
    )


def _boxes(page: pypdfium2.PdfPage, *, sides: int = 0) -> Iterator[Box]:
    for found in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        if raw.FPDFPath_CountSegments(found) >= sides:
            left, bottom, right, top = (MM_PER_POINT * each for each in found.get_bounds())
            yield left, bottom, right, top


def _glyphs(text: pypdfium2.PdfTextPage) -> Iterator[Glyph]:
    for number in range(text.count_chars()):
        sign = text.get_text_range(number, 1)
        if sign.strip(" \r\n\t\u00a0\u200b"):
            left, bottom, right, top = (MM_PER_POINT * each for each in text.get_charbox(number))
            if right > left and top > bottom:
                yield Glyph(sign, (left, bottom, right, top))


def _sizes(page: pypdfium2.PdfPage, text: pypdfium2.PdfTextPage) -> Iterator[tuple[float, str]]:
    for found in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
        size = ctypes.c_float()
        assert raw.FPDFTextObj_GetFontSize(found, size)
        length = raw.FPDFTextObj_GetText(found, text, None, 0)
        buffer = ctypes.create_string_buffer(length)
        raw.FPDFTextObj_GetText(found, text, ctypes.cast(buffer, ctypes.POINTER(raw.FPDF_WCHAR)), length)
        said = buffer.raw[:-2].decode("utf-16-le")
        if said.strip():
            matrix = found.get_matrix()
            yield hypot(matrix.c, matrix.d) * size.value, said
