"""How wide a text is, from the metrics of the vendored font, so that a label is placed before it is drawn."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from filmsplit.figures.glyph_widths import BOLD_RUNS, REGULAR_RUNS, UNITS_PER_EM

FONT_FAMILY = "Filmsplit Sans"
FONT_STACK = "'Filmsplit Sans','DejaVu Sans Condensed','Arial Narrow',Arial,sans-serif"
ASCENT = 0.76
"""Height above the baseline, in parts of the size: capitals and figures, and a little air."""
DESCENT = 0.24
LINE_STEP = 1.22
"""From one baseline to the next, in parts of the size."""


@cache
def _advances(bold: bool) -> dict[str, int]:
    runs = BOLD_RUNS if bold else REGULAR_RUNS
    return {chr(first + i): width for first, run in runs.items() for i, width in enumerate(run)}


def text_width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """Width of ``text`` set in ``size_mm``; a character the font lacks counts as one em."""
    advances = _advances(bold)
    return sum(advances.get(char, UNITS_PER_EM) for char in text) * size_mm / UNITS_PER_EM


def is_covered(text: str) -> bool:
    """Whether the vendored font has every character of ``text``."""
    return all(char in _advances(False) for char in text)


def wrapped(text: str, width_mm: float, size_mm: float) -> list[str]:
    """``text`` in lines no wider than ``width_mm``, broken at spaces; a word that is wider stays whole."""
    lines: list[str] = []
    for word in text.split():
        if lines and text_width_mm(f"{lines[-1]} {word}", size_mm) <= width_mm:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def font_bytes(*, bold: bool) -> bytes:
    """The vendored font itself, for letters that are drawn as dots."""
    name = f"filmsplit-sans{'-bold' if bold else ''}.ttf"
    return files("filmsplit.figures").joinpath("fonts", name).read_bytes()
