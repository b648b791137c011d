"""Paper sizes, and a template with its data made a PDF: the same bytes for the same data on every machine."""

from __future__ import annotations

import json
from collections.abc import Mapping
from enum import Enum
from importlib.resources import as_file, files
from typing import Any, Final

from filmsplit.figures.lettering import FONT_FAMILY

STANDARD: Final = "ua-1"
"""PDF/UA-1 (ISO 14289-1): tagged, with title, language and a text for every picture; typst refuses what is not."""


class Paper(Enum):
    """Sizes of paper: ISO 216, and ANSI Y14.1 A."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height, upright."""
        return {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}[self]


def typeset(template: str, data: Mapping[str, Any], *, paper: Paper) -> bytes:
    """The PDF of a template of this package.

    Only the template's folder and the fonts of the package are read. ``data`` is plain JSON values: its texts are set
    as they are, never read as markup. No time of making is written.
    """
    import typst  # noqa: PLC0415  # a compiler of some tens of megabytes; only paper needs it

    width_mm, height_mm = paper.size_mm
    told = {**data, "paper": {"width": width_mm, "height": height_mm}, "font": FONT_FAMILY}
    with (
        as_file(files("filmsplit.reports").joinpath("templates")) as templates,
        as_file(files("filmsplit.figures").joinpath("fonts")) as fonts,
    ):
        compiler = typst.Compiler(
            templates / template,
            root=templates,
            font_paths=typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[fonts]),
            sys_inputs={"data": json.dumps(told, ensure_ascii=False, sort_keys=True)},
        )
        made = compiler.compile(format="pdf", pdf_standards=[STANDARD], timestamp=0)
    assert isinstance(made, bytes)
    return made
