"""The sheet with its ghosts: the image in grey, every ghost in a numbered frame, dark and light told by the line."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.figures.axes import Plot
from filmsplit.figures.drawing import ACCENT, INK, PAPER, Drawing, circle, element, finish, group, line, text
from filmsplit.figures.heading import Subject, draw_heading
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.png import palette_png
from filmsplit.figures.sheet_field import Array, coarser, field_of
from filmsplit.figures.sheet_map import ON_PAPER, Room, frame_of, plot_of
from filmsplit.messages import label

MOST_DOTS = 600
GREYS = 16
_LETTER_MM = 2.6


@dataclass(frozen=True, slots=True, kw_only=True)
class GhostFrame:
    """A ghost to be framed: from the lead edge and the operator's side of the sheet, in mm; its strength."""

    number: int
    lead_mm: float
    tail_mm: float
    operator_mm: float
    gear_mm: float
    strength: float


def draw_ghosts(  # noqa: PLR0913 - all but three are named
    subject: Subject,
    coverage: Array,
    ghosts: Sequence[GhostFrame],
    *,
    size_mm: tuple[float, float],
    ink: str = "",
    room: Room = ON_PAPER,
) -> Drawing:
    """Coverage [rows from the lead edge, columns from the operator's side] of a sheet with its ghosts framed.

    ``size_mm`` is the sheet's length and width.
    """
    field = field_of(np.asarray(coverage, dtype=np.float64), coverage=None, size_mm=size_mm)
    plot = plot_of(field, room)
    title = label("ghost_figure.title", name=subject.name)
    view = f"{ink} {label('ghost_figure.view')}".strip()
    head = draw_heading(title, view, width_mm=room.width_mm, invented=subject.invented)
    parts = head if room.headed else []
    parts += [_picture(coverage, plot, size_mm=size_mm), *frame_of(plot, lead_mm=room.lead_mm)]
    parts += [part for ghost in ghosts for part in _framed(ghost, plot)]
    parts += _legend(plot)
    return finish(
        parts,
        size_mm=(room.width_mm, plot.box.bottom + room.foot_mm + (MARGIN_MM / 2 if room.headed else 0.0)),
        title=title,
        alt=label("ghost_figure.alt", name=subject.name, count=len(ghosts)),
    )


def _picture(coverage: Array, plot: Plot, *, size_mm: tuple[float, float]) -> str:
    """The image in light greys, so that frames and numbers stand out on a solid too."""
    dots = coarser(field_of(coverage, coverage=np.ones_like(coverage), size_mm=size_mm), MOST_DOTS).film_um
    steps = np.clip(np.round(dots * (GREYS - 1)), 0, GREYS - 1).astype(np.uint8)[::-1]
    greys = [255 - round(115 * step / (GREYS - 1)) for step in range(GREYS)]
    png = palette_png([row.tobytes() for row in steps], [f"#{grey:02x}{grey:02x}{grey:02x}" for grey in greys])
    left, top, right, bottom = plot.box
    place = {"x": float(left), "y": float(top), "width": float(right - left), "height": float(bottom - top)}
    address = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
    return element("image", href=address, **place, preserveAspectRatio="none", image_rendering="optimizeSpeed")


def _framed(ghost: GhostFrame, plot: Plot) -> list[str]:
    left, low = plot.at(ghost.operator_mm, ghost.lead_mm)
    right, high = plot.at(ghost.gear_mm, ghost.tail_mm)
    corners = [(left, low), (right, low), (right, high), (left, high), (left, low)]
    dashes = None if ghost.strength > 0 else "2 1.2"
    number = str(ghost.number)
    x, y = max(left - 3.0, plot.box.left + 2.6), (low + high) / 2
    filled = ghost.strength > 0
    return [
        line(corners, stroke=PAPER, stroke_width=1.1),
        line(corners, stroke=ACCENT, stroke_width=0.6, stroke_dasharray=dashes),
        circle(x, y, 2.3, fill=ACCENT if filled else PAPER, stroke=ACCENT, stroke_width=0.5),
        group(
            [text(number, (x, y + 0.36 * _LETTER_MM), size=_LETTER_MM, bold=True, anchor="middle")],
            fill=PAPER if filled else INK,
        ),
    ]


def _legend(plot: Plot) -> list[str]:
    """What the two kinds of frame mean."""
    left, y = plot.box.right + 8.0, plot.box.top + 2.0
    parts = []
    for key, dashes in (("dark", None), ("light", "2 1.2")):
        corners = [(left, y), (left + 7.0, y), (left + 7.0, y + 4.0), (left, y + 4.0), (left, y)]
        parts.append(line(corners, stroke=ACCENT, stroke_width=0.6, stroke_dasharray=dashes))
        parts.append(text(label(f"ghost_figure.{key}"), (left + 9.0, y + 3.0), size=2.4))
        y += 7.0
    return parts
