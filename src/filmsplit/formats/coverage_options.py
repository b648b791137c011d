"""What may be told to a reader of plate files, and what it gives back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from filmsplit.artwork import CoverageMap, PlateCurve
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.messages import Problem

Progress = Callable[[int, int], None]
"""Called with the rows done and the rows there are, from the thread that reads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageOptions:
    """How to read. ``cuts_*_mm``: places, from the top and from the left of the picture, where a cell must begin, so
    that sums over zones are exact. ``resolution_dpi`` is for files that do not say it, or say it wrongly.
    """

    cell_mm: float = 1.0
    cuts_round_mm: tuple[float, ...] = ()
    cuts_across_mm: tuple[float, ...] = ()
    resolution_dpi: float | None = None
    curve: PlateCurve | None = None
    inks: tuple[str, ...] = ()
    pdf: PdfAsked = field(default_factory=PdfAsked)
    workers: int = 1
    progress: Progress | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageRead:
    """The maps of a file, one for each ink, in the order of the file; and what should be known about them."""

    maps: tuple[CoverageMap, ...]
    notices: tuple[Problem, ...] = ()
