"""The plate seen from its image side: sheet, grippers, gap, where the work lies, how much ink each zone gives."""

from __future__ import annotations

from base64 import b64encode
from math import ceil

from filmsplit.artwork import WorkStyle
from filmsplit.artwork.copies import Copy
from filmsplit.figures.axes import length_axis, tick_words_each
from filmsplit.figures.boxes import Box, Spot
from filmsplit.figures.classes import Hatch
from filmsplit.figures.drawing import FAINT, INK, PAPER, Drawing, element, finish, group, line, num, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.plate_look import GAP_MM, ON_PAPER, ON_SCREEN, PAPER_MM, Look, lie_of, signs_beside
from filmsplit.figures.plate_notes import CUT_DASHES, PANEL_MM, draw_notes, draw_signs
from filmsplit.figures.plate_seen import LaySide, Lie, PlateSeen, greys, steps_of
from filmsplit.figures.plate_zones import draw_zone_ends, draw_zones
from filmsplit.figures.png import palette_png
from filmsplit.figures.signs import hatch_patterns, pattern_id
from filmsplit.messages import label

_LEAST_WIDE_MM = 180.0
_HALO_MM = 0.9


def draw_plate(subject: Subject, seen: PlateSeen, *, look: Look = ON_SCREEN) -> Drawing:
    """The plate to scale with everything that is on it, and what is to be known about it: with a heading and beside it
    what is to be asked for a screen, by itself at its own size for paper.
    """
    lie = lie_of(seen, look=look)
    title = label("plate_figure.title", name=subject.name, ink=seen.placed.ink)
    parts = [hatch_patterns({Hatch.RISING, Hatch.DOTTED}), *_picture(seen, lie), *draw_zone_ends(seen, lie)]
    parts += [*_gap(seen, lie, look=look), *_copies(seen, lie, look=look), *_sheet(seen, lie)]
    parts += [*draw_zones(seen, lie, look=look), *_frame(seen, lie, look=look)]
    told, size_mm = _signs_on_paper(seen, lie) if look.alone else _panel(subject, seen, lie)
    return finish([*parts, *told], size_mm=size_mm, title=title, alt=_alt(subject, seen))


def _panel(subject: Subject, seen: PlateSeen, lie: Lie) -> tuple[list[str], Spot]:
    """Heading and panel of notes, and the size of the whole."""
    panel = max(lie.box.right + GAP_MM, _LEAST_WIDE_MM - MARGIN_MM - PANEL_MM)
    width = panel + PANEL_MM + MARGIN_MM
    title = label("plate_figure.title", name=subject.name, ink=seen.placed.ink)
    view = label("plate_figure.view", scale=f"{1 / lie.scale:.3g}", file=seen.placed.source.file)
    notes, low = draw_notes(seen, (panel, HEAD_MM + 6.0))
    heading = draw_heading(title, view, width_mm=width, invented=subject.invented)
    return [*heading, *notes], (width, max(lie.box.bottom + ON_SCREEN.foot_mm, low + 4.0))


def _signs_on_paper(seen: PlateSeen, lie: Lie) -> tuple[list[str], Spot]:
    """What the signs mean, beside a narrow plate, else below it, and the size of the whole."""
    foot = lie.box.bottom + ON_PAPER.foot_mm
    beside = signs_beside(lie)
    at = (lie.box.right + GAP_MM, lie.box.top) if beside else (1.0, foot)
    signs, low = draw_signs(seen, at, width_mm=PAPER_MM - at[0], shown_mm=lie.round_mm)
    return signs, (PAPER_MM, max(foot, low))


def _picture(seen: PlateSeen, lie: Lie) -> list[str]:
    """The coverage of every cell as a small picture, as far round as the plate is drawn."""
    steps = steps_of(seen)
    cell_mm = seen.round_mm / len(steps)
    steps = steps[: ceil(lie.round_mm / cell_mm - 1e-9)]
    png = palette_png([row.tobytes() for row in steps], greys())
    edges = seen.placed.across_edges_mm
    box = lie.area(0.0, float(edges[0]), round_mm=len(steps) * cell_mm, across_mm=float(edges[-1] - edges[0]))
    address = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
    return [element("image", href=address, **_place(box), preserveAspectRatio="none", image_rendering="optimizeSpeed")]


def _place(box: Box) -> dict[str, object]:
    return {
        "x": float(box.left),
        "y": float(box.top),
        "width": float(box.right - box.left),
        "height": float(box.bottom - box.top),
    }


def _plate_area(seen: PlateSeen, lie: Lie, first_mm: float, *, last_mm: float) -> Box:
    """The plate from side to side between two places round it."""
    first = float(seen.plate.across_edges_mm[0])
    return lie.area(first_mm, first, round_mm=last_mm - first_mm, across_mm=seen.plate.across_mm)


def _gap(seen: PlateSeen, lie: Lie, *, look: Look) -> list[str]:
    """The plate's edge and, hatched, where nothing can print."""
    return [*_hatched_gap(seen, lie, look=look), *_plate_edge(seen, lie)]


def _plate_edge(seen: PlateSeen, lie: Lie) -> list[str]:
    """Dashed below where the plate goes on beyond what is drawn."""
    whole = _plate_area(seen, lie, 0.0, last_mm=lie.round_mm)
    if lie.round_mm > seen.round_mm - 1e-9:
        return [element("rect", fill="none", stroke=INK, stroke_width=0.25, **_place(whole))]
    left, top, right, bottom = whole
    edge = [(left, bottom), (left, top), (right, top), (right, bottom)]
    below = [(left, bottom), (right, bottom)]
    return [
        line(edge, stroke=INK, stroke_width=0.25),
        line(below, stroke=INK, stroke_width=0.25, stroke_dasharray=CUT_DASHES),
    ]


def _hatched_gap(seen: PlateSeen, lie: Lie, *, look: Look) -> list[str]:
    if lie.round_mm <= seen.plate.usable_mm:
        return []
    gap = _plate_area(seen, lie, seen.plate.usable_mm, last_mm=lie.round_mm)
    words = label("plate_figure.gap", mm=f"{seen.plate.gap_mm:.3g}")
    fits = gap.bottom - gap.top > 2 * look.words_mm
    middle = ((gap.left + gap.right) / 2, (gap.top + gap.bottom) / 2 + 0.36 * look.words_mm)
    hatch = f"url(#{pattern_id(Hatch.RISING)})"
    return [
        element("rect", fill=hatch, stroke=FAINT, stroke_width=0.2, **_place(gap)),
        *([_haloed(words, middle, size=look.words_mm)] if fits else []),
    ]


def _haloed(words: str, middle: Spot, *, size: float) -> str:
    """Letters on whatever lies below them."""
    written = text(words, middle, size=size, bold=True, anchor="middle")
    return group([written], stroke=PAPER, stroke_width=_HALO_MM, paint_order="stroke")


def _sheet(seen: PlateSeen, lie: Lie) -> list[str]:
    """The sheet's edge, the grippers' part of it, its guide, and the line it is turned over."""
    sheet = seen.placement.sheet
    if sheet is None:
        return []
    area = lie.area(sheet.lead_mm, sheet.side_mm, round_mm=sheet.length_mm, across_mm=sheet.width_mm)
    grip = lie.area(sheet.lead_mm, sheet.side_mm, round_mm=sheet.gripper_mm, across_mm=sheet.width_mm)
    parts = []
    if sheet.gripper_mm > 0:
        dotted = f"url(#{pattern_id(Hatch.DOTTED)})"
        parts.append(element("rect", fill=dotted, stroke=FAINT, stroke_width=0.2, **_place(grip)))
    parts.append(element("rect", fill="none", stroke=INK, stroke_width=0.7, **_place(area)))
    return [*parts, *_fold(seen, area), *_guide(seen, area)]


def _fold(seen: PlateSeen, area: Box) -> list[str]:
    """The line about which front and back lie, for the two ways of printing both from one plate."""
    x, y = (area.left + area.right) / 2, (area.top + area.bottom) / 2
    ends = {
        WorkStyle.WORK_AND_TURN: [(x, area.top), (x, area.bottom)],
        WorkStyle.WORK_AND_TUMBLE: [(area.left, y), (area.right, y)],
    }.get(seen.placement.style)
    if ends is None:
        return []
    under = line(ends, stroke=PAPER, stroke_width=1.0)
    return [under, line(ends, stroke=INK, stroke_width=0.35, stroke_dasharray="4 1 0.6 1")]


def _guide(seen: PlateSeen, area: Box) -> list[str]:
    """A wedge against the side the sheet is laid at."""
    if seen.lay is None:
        return []
    x, way = (area.left, -1) if seen.lay is LaySide.OPERATOR else (area.right, 1)
    y = area.top + 0.15 * (area.bottom - area.top)
    wedge = f"M{num(x)} {num(y)}l{num(3.0 * way)} -1.6v3.2z"
    return [element("path", d=wedge, fill=INK, stroke=PAPER, stroke_width=0.4, paint_order="stroke")]


def _copies(seen: PlateSeen, lie: Lie, *, look: Look) -> list[str]:
    """Each copy of the picture in dashes, a wedge where its top looks to, and which side of the sheet it is for."""
    parts = []
    for copy in seen.copies:
        box = lie.area(copy.lead_mm, copy.side_mm, round_mm=copy.round_mm, across_mm=copy.across_mm)
        parts.append(element("rect", fill="none", stroke=PAPER, stroke_width=0.8, **_place(box)))
        dashes = {"stroke": INK, "stroke_width": 0.3, "stroke_dasharray": "1.6 1"}
        parts += [element("rect", fill="none", **dashes, **_place(box)), _top_wedge(box, copy.top_deg)]
        if seen.placement.style is not WorkStyle.SHEETWISE:
            parts += _side_words(copy, box, size=look.words_mm)
    return parts


def _side_words(copy: Copy, box: Box, *, size: float) -> list[str]:
    """In the middle of a copy that has the room."""
    words = label("plate_figure.back" if copy.back else "plate_figure.front")
    wide, high = box.right - box.left, box.bottom - box.top
    if text_width_mm(words, size, bold=True) > wide - 2 or size > high:
        return []
    return [_haloed(words, ((box.left + box.right) / 2, (box.top + box.bottom) / 2), size=size)]


def _top_wedge(box: Box, top_deg: int) -> str:
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    tips = {0: (x, box.top), 90: (box.right, y), 180: (x, box.bottom), 270: (box.left, y)}
    tip = tips[top_deg]
    turn = f"translate({num(tip[0])} {num(tip[1])}) rotate({top_deg})"
    look = {"fill": INK, "stroke": PAPER, "stroke_width": 0.4, "paint_order": "stroke"}
    return element("path", d="M0 0.5l-1.5 2.6h3z", transform=turn, **look)


def _frame(seen: PlateSeen, lie: Lie, *, look: Look) -> list[str]:
    """Millimetres from the lead edge at the left, from the plate's operator side below; which side is which."""
    left, top, right, bottom = lie.box
    size, most = look.number_mm, [_most_ticks(room, look) for room in (bottom - top, right - left)]
    parts = [line([(left, top), (right, top)], stroke=INK, stroke_width=1.0, stroke_linecap="butt")]
    down = length_axis("", 0.0, lie.round_mm, most=most[0])
    for tick, words in zip(down.ticks, tick_words_each(down), strict=True):
        y = lie.at(tick, seen.left_mm)[1]
        parts.append(line([(left - 1.2, y), (left, y)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (left - 2.0, y + 0.36 * size), size=size, anchor="end"))
    across = length_axis("", 0.0, seen.right_mm, most=most[1])
    for tick, words in zip(across.ticks, tick_words_each(across), strict=True):
        x = lie.at(0.0, tick)[0]
        parts.append(line([(x, bottom), (x, bottom + 1.2)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (x, bottom + look.numbers_below_mm), size=size, anchor="middle"))
    return [*parts, *_edge_words(lie, look=look)]


def _most_ticks(room_mm: float, look: Look) -> int:
    """As many numbers as stand clear of each other, no more than eight."""
    return max(1, min(8, int(room_mm / (3.0 * look.number_mm))))


def _edge_words(lie: Lie, *, look: Look) -> list[str]:
    left, top, right, bottom = lie.box
    base, size = bottom + look.sides_below_mm, look.words_mm
    lead = ((left + right) / 2, top - 2.2)
    return [
        text(label("film_figure.operator-side"), (left, base), size=size, bold=True),
        text(label("film_figure.gear-side"), (right, base), size=size, bold=True, anchor="end"),
        text(label("plate_figure.lead-edge"), lead, size=size, bold=True, anchor="middle"),
    ]


def _alt(subject: Subject, seen: PlateSeen) -> str:
    shares = "; ".join(f"{number}: {100 * share:.1f} %" for number, share in enumerate(seen.zone_shares, start=1))
    return label("plate_figure.alt", name=subject.name, ink=seen.placed.ink, zones=shares)
