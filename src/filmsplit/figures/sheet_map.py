"""The sheet seen from above: how thick the film lies where, in steps from light to dark with lines between them."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass

import numpy as np

from filmsplit.figures.axes import TITLE_MM, Plot, length_axis, round_ticks, tick_words, tick_words_each
from filmsplit.figures.boxes import Box
from filmsplit.figures.contours import contour
from filmsplit.figures.drawing import FAINT, INK, PAPER, Drawing, circle, element, finish, group, line, num, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.png import palette_png
from filmsplit.figures.sheet_field import Array, Field, Place, coarser, field_of
from filmsplit.messages import label

MOST_DOTS, MOST_NODES = 600, 110
"""Dots of the picture, and places between which lines are reckoned, along the longer side."""
MOST_STEPS = 7
LIGHT, DARK = (0xF0, 0xE4, 0xD3), (0x33, 0x12, 0x05)
_LEFT_MM = 13.0
_NUMBER_MM, _SWATCH_MM = 2.1, 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MapWords:
    """What a map is of: the labels of its words."""

    title: str
    empty: str
    scale: str
    dots: str
    alt: str
    alt_empty: str


FILM = MapWords(
    title="film_figure.map-title",
    empty="film_figure.map-empty",
    scale="film_figure.scale",
    dots="film_figure.dots",
    alt="film_figure.map-alt",
    alt_empty="film_figure.map-alt-empty",
)
DENSITY = MapWords(
    title="density_figure.map-title",
    empty="density_figure.map-empty",
    scale="density_figure.scale",
    dots="density_figure.dots",
    alt="density_figure.map-alt",
    alt_empty="density_figure.map-alt-empty",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """How much a drawing of the sheet may take: on paper with its heading, on a screen without, where letters of the
    same size are a larger part of it and the page around it says the rest."""

    width_mm: float
    top_mm: float
    most_high_mm: float
    headed: bool
    lead_mm: float
    """How far the words at the lead edge stand below those at its sides."""
    scale_mm: float = 34.0
    """For the legend beside the sheet; none where that stands elsewhere."""

    @property
    def foot_mm(self) -> float:
        """Below the sheet."""
        return 17.0 if self.headed else 11.0 + self.lead_mm


ON_PAPER = Room(width_mm=260.0, top_mm=HEAD_MM + 6.0, most_high_mm=190.0, headed=True, lead_mm=0.0)
ON_SCREEN = Room(width_mm=102.0, top_mm=8.0, most_high_mm=110.0, headed=False, lead_mm=3.6)
"""As wide as a tablet held upright, with letters of 16 px."""
BESIDE = Room(width_mm=66.0, top_mm=8.0, most_high_mm=90.0, headed=False, lead_mm=3.6, scale_mm=0.0)
"""Half of that: two sheets are seen beside each other."""
_EDGE_MM = 3.0


def colours_of(steps: int) -> list[str]:
    """One hue from light to dark, every channel falling: each step is darker than the one before, on any copier."""
    parts = [i / max(steps - 1, 1) for i in range(steps)]
    mixed = [[round(a + (b - a) * part) for a, b in zip(LIGHT, DARK, strict=True)] for part in parts]
    return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in mixed]


def draw_sheet_map(  # noqa: PLR0913 - all but two are named
    subject: Subject,
    film_um: Array,
    *,
    length_mm: float,
    width_mm: float,
    coverage: Array | None = None,
    ink: str = "",
    words: MapWords = FILM,
    room: Room = ON_PAPER,
) -> Drawing:
    """Film [rows from the lead edge, columns from the operator's side] over a sheet of ``length_mm`` by ``width_mm``;
    density in the place of the film where ``words`` are of it.

    Cells whose ``coverage`` is zero stay white; without it those with no film. ``ValueError`` for an empty field, one
    that is not a number on the image or below zero, and a sheet without size.
    """
    field = field_of(film_um, coverage=coverage, size_mm=(length_mm, width_mm))
    plot = plot_of(field, room)
    bounds = () if field.empty else round_ticks(field.smallest.um, field.largest.um, most=MOST_STEPS)
    title = label(words.title, name=subject.name)
    view = f"{ink} {label('film_figure.map-view')}".strip()
    head = draw_heading(title, view, width_mm=room.width_mm, invented=subject.invented)
    parts = head if room.headed else []
    if field.empty:
        parts += [
            *frame_of(plot, lead_mm=room.lead_mm),
            text(label(words.empty), (plot.box.left + 4, plot.box.top + 6), size=3.0),
        ]
    else:
        dots = coarser(field, MOST_DOTS)
        parts += [_picture(dots, plot, bounds), _lines(field, plot, bounds, median=room.headed)]
        parts += frame_of(plot, lead_mm=room.lead_mm)
        parts += [*_extremes(plot, field), *_scale(plot, bounds, words)]
        parts += _notes(plot, field, steps=len(bounds) - 1, median=room.headed)
        parts += [_fineness(plot, dots, words)] if room.headed else []
    size_mm = (room.width_mm, plot.box.bottom + room.foot_mm)
    return finish([part for part in parts if part], size_mm=size_mm, title=title, alt=_alt(subject, field, words))


def plot_of(field: Field, room: Room = ON_PAPER) -> Plot:
    """The sheet to one scale both ways, lead edge at the bottom."""
    margin = MARGIN_MM if room.headed else 0.0
    across = room.width_mm - 2 * margin - _LEFT_MM - max(room.scale_mm, _EDGE_MM)
    scale = min(across / field.width_mm, room.most_high_mm / field.length_mm)
    left, top = margin + _LEFT_MM, room.top_mm
    box = Box(left, top, left + scale * field.width_mm, top + scale * field.length_mm)
    x = length_axis(label("film_figure.axis-from-operator"), 0.0, field.width_mm)
    y = length_axis(label("film_figure.axis-from-lead"), 0.0, field.length_mm)
    return Plot(box, x, y)


def _picture(dots: Field, plot: Plot, bounds: tuple[float, ...]) -> str:
    """The steps as a small picture; white where there is no image."""
    steps = np.clip(np.searchsorted(bounds, dots.film_um, side="right"), 1, len(bounds) - 1)
    numbers = np.where(dots.image, steps, 0).astype(np.uint8)[::-1]
    png = palette_png([row.tobytes() for row in numbers], [PAPER, *colours_of(len(bounds) - 1)])
    left, top, right, bottom = plot.box
    place = {"x": float(left), "y": float(top), "width": float(right - left), "height": float(bottom - top)}
    address = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
    look = {"preserveAspectRatio": "none", "image_rendering": "optimizeSpeed"}
    return element("image", href=address, **place, **look)


def _lines(field: Field, plot: Plot, bounds: tuple[float, ...], *, median: bool) -> str:
    """Fine lines between the steps, and a heavy one at the median, dark with a light edge so that both ends show."""
    nodes = coarser(field, MOST_NODES)
    known = np.where(nodes.image, nodes.film_um, np.nan)
    fine = "".join(_way(known, plot, level) for level in bounds[1:-1])
    heavy = _way(known, plot, field.median_um) if median else ""
    parts = [element("path", d=fine, stroke=INK, stroke_width=0.12)] if fine else []
    for colour, width in ((PAPER, 0.9), (INK, 0.45)):
        parts += [element("path", d=heavy, stroke=colour, stroke_width=width)] if heavy else []
    return group(parts, fill="none")


def _way(known: Array, plot: Plot, level: float) -> str:
    rows, columns = known.shape
    left, top, right, bottom = plot.box

    def spot(node: tuple[float, float]) -> str:
        x = left + (right - left) * (node[1] + 0.5) / columns
        return f"{num(x)} {num(bottom - (bottom - top) * (node[0] + 0.5) / rows)}"

    return "".join(f"M{spot(a)}L{spot(b)}" for a, b in contour(known, level))


def frame_of(plot: Plot, *, lead_mm: float = 0.0) -> list[str]:
    """The edge of the sheet, heavy at the lead; millimetres on both axes; which side is which."""
    left, top, right, bottom = plot.box
    parts = [line([(left, bottom), (left, top), (right, top), (right, bottom)], stroke=FAINT, stroke_width=0.25)]
    for tick, words in zip(plot.y.ticks, tick_words_each(plot.y), strict=True):
        y = plot.at(0.0, tick)[1]
        parts.append(line([(left - 1.2, y), (left, y)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (left - 2.0, y + 0.36 * _NUMBER_MM), size=_NUMBER_MM, anchor="end"))
    for tick, words in zip(plot.x.ticks, tick_words_each(plot.x), strict=True):
        x = plot.at(tick, 0.0)[0]
        parts.append(line([(x, bottom), (x, bottom + 1.4)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (x, bottom + 4.0), size=_NUMBER_MM, anchor="middle"))
    parts.append(line([(left, bottom), (right, bottom)], stroke=INK, stroke_width=1.0, stroke_linecap="butt"))
    parts.append(text(plot.y.title, (left, top - 2.4), size=TITLE_MM))
    base = bottom + 7.8
    parts.append(text(label("film_figure.operator-side"), (left, base), size=TITLE_MM, bold=True))
    parts.append(
        text(
            label("film_figure.lead-edge"),
            ((left + right) / 2, base + lead_mm),
            size=TITLE_MM,
            bold=True,
            anchor="middle",
        )
    )
    parts.append(text(label("film_figure.gear-side"), (right, base), size=TITLE_MM, bold=True, anchor="end"))
    return parts


def extreme_boxes(plot: Plot, field: Field) -> list[tuple[str, Place, Box]]:
    """The words at the largest and the smallest place, kept on the sheet and off each other."""
    found: list[tuple[str, Place, Box]] = []
    for key, place in (("film_figure.largest", field.largest), ("film_figure.smallest", field.smallest)):
        words = label(key, um=f"{place.um:.3g}")
        x, y = plot.at(place.across_mm, place.along_mm)
        width = text_width_mm(words, _NUMBER_MM, bold=True)
        left = min(max(x + 1.8, plot.box.left + 0.5), plot.box.right - width - 0.5)
        drops = (-0.5, 4.0, -4.5, 8.0, -8.5)
        boxes = [Box(left, y + drop - 2.2, left + width, y + drop + 0.4) for drop in drops]
        if left < x + 1.5:
            boxes = [box._replace(left=x - 1.8 - width, right=x - 1.8) for box in boxes] + boxes[1:]
        free = [b for b in boxes if b.within(plot.box) and not any(b.grown(0.4).overlaps(o) for _, _, o in found)]
        found.append((words, place, (free or boxes)[0]))
    return found


def _extremes(plot: Plot, field: Field) -> list[str]:
    if field.largest.um == field.smallest.um:
        return []
    parts = []
    for words, place, box in extreme_boxes(plot, field):
        at = plot.at(place.across_mm, place.along_mm)
        parts += [circle(*at, 1.1, stroke=PAPER, stroke_width=0.9), circle(*at, 1.1, stroke=INK, stroke_width=0.4)]
        written = text(words, (box.left, box.bottom - 0.5), size=_NUMBER_MM, bold=True)
        parts.append(group([written], stroke=PAPER, stroke_width=0.9, paint_order="stroke"))
    return parts


def _scale(plot: Plot, bounds: tuple[float, ...], of: MapWords) -> list[str]:
    """The steps from thin at the bottom to thick at the top, a number at every bound."""
    left, colours = plot.box.right + 8.0, colours_of(len(bounds) - 1)
    low = plot.box.top + 4.0 + _SWATCH_MM * len(colours)
    parts = [text(label(of.scale), (left, plot.box.top + 1.5), size=TITLE_MM, bold=True)]
    for i, colour in enumerate(colours):
        place = {"x": float(left), "y": float(low - (i + 1) * _SWATCH_MM), "width": 6.0, "height": _SWATCH_MM}
        parts.append(element("rect", fill=colour, stroke=INK, stroke_width=0.12, **place))
    for i, words in enumerate(tick_words(bounds)):
        parts.append(text(words, (left + 8.0, low - i * _SWATCH_MM + 0.36 * _NUMBER_MM), size=_NUMBER_MM))
    return parts


def _notes(plot: Plot, field: Field, *, steps: int, median: bool) -> list[str]:
    """Below the scale: the heavy line, what stays white."""
    left = plot.box.right + 8.0
    y = plot.box.top + 4.0 + _SWATCH_MM * steps + 9.0
    parts = []
    if median:
        words = label("film_figure.median", um=f"{field.median_um:.3g}")
        parts.append(line([(left, y), (left + 6.0, y)], stroke=INK, stroke_width=0.45))
        parts.append(text(words, (left + 8.0, y + 0.8), size=_NUMBER_MM))
    if not field.image.all():
        frame = {"x": float(left), "y": float(y + 4.0), "width": 6.0, "height": 3.6}
        parts.append(element("rect", fill=PAPER, stroke=FAINT, stroke_width=0.2, **frame))
        parts.append(text(label("film_figure.no-image"), (left + 8.0, y + 6.6), size=_NUMBER_MM))
    return parts


def _fineness(plot: Plot, dots: Field, words: MapWords) -> str:
    fine = label(words.dots, along=f"{dots.cell_mm[0]:.3g}", across=f"{dots.cell_mm[1]:.3g}")
    return text(fine, (plot.box.left, plot.box.bottom + 12.4), size=_NUMBER_MM)


def _alt(subject: Subject, field: Field, words: MapWords) -> str:
    if field.empty:
        return label(words.alt_empty, name=subject.name)
    films = {"low": f"{field.smallest.um:.3g}", "median": f"{field.median_um:.3g}", "high": f"{field.largest.um:.3g}"}
    return label(words.alt, name=subject.name, **films)
