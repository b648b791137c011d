"""A page of a PDF to coverage maps: what is asked of each ink, and what on the page was not drawn as it should be."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name

from filmsplit.artwork import Source, Step, StepKind
from filmsplit.formats.coverage_cells import cells_for
from filmsplit.formats.coverage_count import count_values
from filmsplit.formats.coverage_limits import MM_PER_INCH
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.pdf.draw import Dots, draw, grey_document, size_in_dots
from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.layers import Layers
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.operators import HANDLERS
from filmsplit.formats.pdf.page import OpenPage, opened
from filmsplit.formats.pdf.rewrite import initial, parsed
from filmsplit.formats.pdf.spaces import conversion_for, ink_colours, spots_of, tone_colours
from filmsplit.formats.pdf.walk import PageRead, Walk
from filmsplit.messages import Problem, Refusal, label

FULL = 65535
NO_INK = 0
MOST_SPOTS = 100
"""Of one page (invented: each is a plate)."""
LIMITED = "limits error"
"""How the library begins to tell that it read no further."""
HIDDEN_ANNOTATION = 2
"""Bit of an annotation's flags that hides it (ISO 32000-2, table 167)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PdfPlanes:
    """Every ink of a page: ``dots`` are read once, in the order of ``inks``; 255 is full ink."""

    inks: Inks
    size: tuple[int, int]
    size_mm: tuple[float, float]
    dots: Iterator[Dots]
    notices: tuple[Problem, ...]

    @property
    def dots_per_mm(self) -> tuple[float, float]:
        return self.size[0] / self.size_mm[0], self.size[1] / self.size_mm[1]


def pdf_size_mm(path: Path, asked: PdfAsked) -> tuple[float, float]:
    """Length and width of the page's box as it is read. Raises ``Refusal``."""
    with opened(path, asked) as page:
        return page.size_mm


def ink_planes(page: OpenPage, asked: PdfAsked, *, told: Callable[[int], None] = lambda _: None) -> PdfPlanes:
    """The inks of an open page. Raises ``Refusal`` with everything that cannot be drawn truly."""
    ledger = Ledger(page=page.number)
    inks = Inks(spots=tuple(spots_of(page.pdf, page.page)))
    if len(inks.spots) > MOST_SPOTS:
        raise Refusal(
            Problem("pdf-too-many-spots", {"page": page.number, "spots": len(inks.spots), "most": MOST_SPOTS})
        )
    conversion = conversion_for(page.pdf, asked, ledger=ledger)
    colours = ink_colours(inks, ledger=ledger, conversion=conversion)
    tone = tone_colours(ledger=ledger, conversion=conversion)
    size = size_in_dots(page, asked.dpi)
    longest = max(page.corners[2] - page.corners[0], page.corners[3] - page.corners[1])
    read = PageRead(pdf=page.pdf, layers=Layers.of(page.pdf), ledger=ledger, dot=longest / max(size), tone=tone)
    walk = Walk(page=read, colours=colours, resources=page.resources, state=initial(colours), handlers=HANDLERS)
    streams = walk.run(parsed(page.page, walk))
    _noted(page, walk)
    _mended(page, ledger)
    notices = ledger.settle()
    resources = tuple(walk.named.resources(plane) for plane in range(inks.count))
    document = grey_document(page, streams, resources)
    drawn = draw(document, size, told=told)
    return PdfPlanes(inks=inks, size=size, size_mm=page.size_mm, dots=drawn, notices=notices)


def _noted(page: OpenPage, walk: Walk) -> None:
    """What belongs to the page as a whole."""
    notes = page.page.obj.get("/Annots")
    seen = [each for each in notes if isinstance(each, Dictionary)] if isinstance(notes, Array) else []
    flagged = [each.get("/F", 0) for each in seen if "/AP" in each]
    if any(not int(each) & HIDDEN_ANNOTATION for each in flagged):
        walk.ledger.note("pdf-annotations-left-out")
    group = page.page.obj.get("/Group")
    if walk.translucent and isinstance(group, Dictionary) and _is_light(group.get("/CS")):
        walk.ledger.note("pdf-blended-as-inks")


def _mended(page: OpenPage, ledger: Ledger) -> None:
    """What the library passed over or put right by itself while it read."""
    for each in page.pdf.get_warnings():
        ledger.note("pdf-content-unreadable" if LIMITED in str(each) else "pdf-mended")


def _is_light(space: object) -> bool:
    """Whether a group's space is one of light: what is neither grey nor of process inks."""
    if isinstance(space, Array) and len(space) > 1 and space[0] == Name.ICCBased:
        return int(space[1].get("/N", 0)) == len("RGB")
    return space in (Name.DeviceRGB, Name.CalRGB) or (isinstance(space, Array) and space[0] == Name.CalRGB)


def read_pdf(path: Path, options: CoverageOptions) -> CoverageRead:
    """The maps of a page, one for each ink it has. Raises ``Refusal``."""
    asked = options.pdf
    with opened(path, asked) as page:
        count = len(Inks().names)

        def told(plane: int) -> None:
            if options.progress:
                options.progress(min(plane + 1, count), count)

        planes = ink_planes(page, asked, told=told)
        maps, empty = [], []
        cells = cells_for(*planes.size, dots_per_mm=planes.dots_per_mm, options=options)
        table = _table(options)
        source = Source(file=path.name, kind=label("picture_kind.pdf"), page=page.number, dots=planes.size)
        steps = tuple(_steps(planes, options))
        for name, dots in zip(planes.inks.names, planes.dots, strict=True):
            if not dots.any():
                empty.append(name)
                continue
            sums = count_values(dots[..., None], 0, cells, table=table).sums[..., 0]
            shares = sums / (cells.dots * (255 if table is None else FULL))
            maps.append(cells.map_of(shares, name, source=source, steps=steps))
    if not maps:
        raise Refusal(Problem("pdf-page-empty", {"file": str(path), "page": asked.page or 1}))
    named = tuple(Problem("pdf-ink-without-image", {"inks": ", ".join(empty)}) for _ in empty[:1])
    return CoverageRead(maps=tuple(maps), notices=(*planes.notices, *named))


def _table(options: CoverageOptions) -> NDArray[np.uint16] | None:
    if options.curve is None:
        return None
    return np.rint(FULL * options.curve(np.arange(256) / 255)).astype(np.uint16)


def _steps(planes: PdfPlanes, options: CoverageOptions) -> Iterator[Step]:
    down, across = (f"{each * MM_PER_INCH:.6g}" for each in planes.dots_per_mm)
    yield Step(StepKind.READ, {"down": down, "across": across})
    if options.curve is not None:
        yield Step(StepKind.CURVE, {"curve": str(options.curve)})
