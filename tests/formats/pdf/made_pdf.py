"""PDF pages made for the tests: a content stream, and the resources it names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name

from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.pdf.page import opened
from filmsplit.formats.pdf.read import ink_planes
from filmsplit.messages import Problem

SIDE = 100.0
"""Sides of the pages, points."""
DPI = 72.0
"""One dot a point: a place on the page is a dot of the planes."""

Resources = Callable[[pikepdf.Pdf], dict[str, Any]]


def write_page(path: Path, content: bytes, resources: Resources = lambda _: {}, **entries: Any) -> Path:
    """A page of 100 x 100 points with one content stream."""
    pdf = pikepdf.new()
    page = Dictionary(
        Type=Name.Page,
        MediaBox=[0, 0, SIDE, SIDE],
        Resources=Dictionary(resources(pdf)),
        Contents=pdf.make_stream(content),
        **entries,
    )
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    pdf.save(path)
    return path


def planes_of(path: Path, asked: PdfAsked | None = None) -> tuple[dict[str, NDArray[np.float64]], tuple[Problem, ...]]:
    """Shares by ink and dot, rows from the top, and the notices."""
    asked = asked or PdfAsked(dpi=DPI)
    with opened(path, asked) as page:
        planes = ink_planes(page, asked)
        return {name: dots / 255 for name, dots in zip(planes.inks.names, planes.dots, strict=True)}, planes.notices


def inks_at(path: Path, x: float, y: float) -> dict[str, float]:
    """Ink by ink what lies at a place of the page, counted in points from its lower left corner."""
    planes, _ = planes_of(path)
    return {name: float(dots[int(SIDE - y), int(x)]) for name, dots in planes.items()}


def states(**named: dict[str, Any]) -> dict[str, Any]:
    """Graphics states by name."""
    return {"/ExtGState": Dictionary({f"/{name}": Dictionary(**entries) for name, entries in named.items()})}


def spot(pdf: pikepdf.Pdf, name: str, full: tuple[float, ...] = (0.0, 1.0, 0.0, 0.0)) -> Array:
    """The colour space of a spot ink that looks like ``full`` of the process inks."""
    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=list(full), N=1)
    return Array([Name.Separation, Name(f"/{name}"), Name.DeviceCMYK, pdf.make_indirect(tint)])


def form(pdf: pikepdf.Pdf, content: bytes, resources: dict[str, Any], **entries: Any) -> pikepdf.Stream:
    """A form as large as the page."""
    made = pdf.make_stream(content)
    made["/Type"], made["/Subtype"] = Name.XObject, Name.Form
    made["/BBox"] = Array([0, 0, SIDE, SIDE])
    made["/Resources"] = Dictionary(resources)
    for key, value in entries.items():
        made[f"/{key}"] = value
    return made


def group(*, isolated: bool = False, knockout: bool = False) -> Dictionary:
    """The entry that makes a form a transparency group."""
    return Dictionary(S=Name.Transparency, I=isolated, K=knockout, CS=Name.DeviceCMYK)
