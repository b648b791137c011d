"""What the pictures of the examples share: lines over two axes, each with its own dash, black on white."""

from __future__ import annotations

from collections.abc import Sequence

from filmsplit.figures.axes import DASHES_MM, Axis, Plot, draw_key
from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import INK, circle, finish
from filmsplit.figures.heading import HEAD_MM, draw_heading
from filmsplit.figures.page import MARGIN_MM

FEW = 10
"""Up to this many points each is shown by itself: between them nothing was computed."""

WIDTH_MM, PLOT_MM, LEFT_MM, KEY_ROW_MM = 160.0, 62.0, 12.0, 4.2

Line = tuple[str, Sequence[tuple[float, float]]]
"""Name and points of a line."""


def picture(title: str, lines: Sequence[Line], *, says: str, x: Axis, y: Axis) -> str:
    """Lines over two axes, named in a key above them. ``says`` is the line below the title: what is seen."""
    named = [(DASHES_MM[number], name) for number, (name, _) in enumerate(lines) if name]
    top = HEAD_MM + KEY_ROW_MM * len(named) + 7.0
    plot = Plot(Box(MARGIN_MM + LEFT_MM, top, WIDTH_MM - MARGIN_MM - 4.0, top + PLOT_MM), x, y)
    parts = draw_heading(title, says, width_mm=WIDTH_MM, invented=False)
    parts += [*draw_key(named, (MARGIN_MM + LEFT_MM, HEAD_MM)), *plot.frame()]
    for number, (_, points) in enumerate(lines):
        parts.append(plot.curve([a for a, _ in points], [b for _, b in points], dash=DASHES_MM[number]))
        if len(points) <= FEW:
            parts += [circle(*plot.at(a, b), 0.9, fill=INK) for a, b in points]
    size = (WIDTH_MM, plot.box.bottom + 13.0)
    return finish(parts, size_mm=size, title=title, alt=f"{title}: {says}.").svg
