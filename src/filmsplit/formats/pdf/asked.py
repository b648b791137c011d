"""What may be told about a PDF: which page, which of its boxes, what becomes of RGB, how fine it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

DRAWN_DPI = 200.0
"""Dots to an inch in which pages are drawn, 256 greys each: fine enough that edges and lines are within 1 % of their
exact area (measured, docs/performance.md)."""
COARSEST_DPI, FINEST_DPI = 50.0, 1200.0


class PageBox(Enum):
    """The boxes of a page (ISO 32000-2, 14.11.2)."""

    MEDIA = "media"
    CROP = "crop"
    BLEED = "bleed"
    TRIM = "trim"
    ART = "art"


@dataclass(frozen=True, slots=True, kw_only=True)
class PdfAsked:
    """``page`` counts from 1; ``None`` is the only page of a document. ``profile`` is a CMYK profile (ICC) for colours
    that are not inks; without one the document's own output intent is taken, and without that plain arithmetic, unless
    ``refuse_rgb``."""

    page: int | None = None
    box: PageBox = PageBox.CROP
    profile: bytes | None = None
    refuse_rgb: bool = False
    dpi: float = DRAWN_DPI
    password: str = ""
