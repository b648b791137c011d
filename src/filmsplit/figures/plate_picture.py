"""The plate seen from its image side: sheet, grippers, gap, where the work lies, how much ink each zone gives."""

from __future__ import annotations

from base64 import b64encode
from itertools import pairwise

from filmsplit.artwork import WorkStyle
from filmsplit.artwork.copies import Copy
from filmsplit.figures.axes import exact_axis, tick_words
from filmsplit.figures.boxes import Box
from filmsplit.figures.classes import Hatch
from filmsplit.figures.drawing import FAINT, INK, PAPER, Drawing, element, finish, group, line, num, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.plate_notes import PANEL_MM, draw_notes
from filmsplit.figures.plate_seen import LaySide, Lie, PlateSeen, greys, steps_of
from filmsplit.figures.png import palette_png
from filmsplit.figures.signs import hatch_patterns, pattern_id
from filmsplit.messages import label

_MOST_WIDE_MM, _LEAST_WIDE_MM, _LEFT_MM, _GAP_MM, _MOST_HIGH_MM = 260.0, 180.0, 11.0, 8.0, 175.0
_BAR_MM, _ROW_MM, _EDGE_MM = 12.0, 3.4, 6.0
_ZONES_MM = 7.0 + _BAR_MM + 2 * _ROW_MM + _EDGE_MM
"""Room above the plate: a line of words, bars, percents, numbers, and the words of the lead edge."""
_FOOT_MM = 15.0
_NUMBER_MM, _WORDS_MM = 2.1, 2.3
_HALO_MM = 0.9


def draw_plate(subject: Subject, seen: PlateSeen) -> Drawing:
    """The plate to scale with everything that is on it, and beside it what is to be known and asked."""
    lie = lie_of(seen)
    panel = max(lie.box.right + _GAP_MM, _LEAST_WIDE_MM - MARGIN_MM - PANEL_MM)
    width = panel + PANEL_MM + MARGIN_MM
    title = label("plate_figure.title", name=subject.name, ink=seen.placed.ink)
    view = label("plate_figure.view", scale=f"{1 / lie.scale:.3g}", file=seen.placed.source.file)
    parts = [hatch_patterns({Hatch.RISING, Hatch.DOTTED})]
    parts += draw_heading(title, view, width_mm=width, invented=subject.invented)
    parts += [_picture(seen, lie), *_zone_lines(seen, lie), *_gap(seen, lie), *_copies(seen, lie)]
    parts += [*_sheet(seen, lie), *_zones(seen, lie), *_frame(seen, lie)]
    notes, low = draw_notes(seen, (panel, HEAD_MM + 6.0))
    height = max(lie.box.bottom + _FOOT_MM, low + 4.0)
    return finish([*parts, *notes], size_mm=(width, height), title=title, alt=_alt(subject, seen))


def lie_of(seen: PlateSeen) -> Lie:
    """The plate as large as page and height allow."""
    room = _MOST_WIDE_MM - 2 * MARGIN_MM - _LEFT_MM - _GAP_MM - PANEL_MM
    scale = min(room / seen.across_mm, _MOST_HIGH_MM / seen.round_mm)
    left, top = MARGIN_MM + _LEFT_MM, HEAD_MM + _ZONES_MM
    box = Box(left, top, left + seen.across_mm * scale, top + seen.round_mm * scale)
    return Lie(box, seen.left_mm, scale)


def _picture(seen: PlateSeen, lie: Lie) -> str:
    """The coverage of every cell as a small picture."""
    steps = steps_of(seen)
    png = palette_png([row.tobytes() for row in steps], greys())
    edges = seen.placed.across_edges_mm
    box = lie.area(0.0, float(edges[0]), round_mm=seen.round_mm, across_mm=float(edges[-1] - edges[0]))
    address = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
    return element("image", href=address, **_place(box), preserveAspectRatio="none", image_rendering="optimizeSpeed")


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


def _gap(seen: PlateSeen, lie: Lie) -> list[str]:
    """The plate's edge and, hatched, where nothing can print."""
    whole = _plate_area(seen, lie, 0.0, last_mm=seen.round_mm)
    gap = _plate_area(seen, lie, seen.plate.usable_mm, last_mm=seen.round_mm)
    middle = ((gap.left + gap.right) / 2, (gap.top + gap.bottom) / 2 + 0.36 * _WORDS_MM)
    words = label("plate_figure.gap", mm=f"{seen.plate.gap_mm:.3g}")
    fits = gap.bottom - gap.top > 2 * _WORDS_MM
    return [
        element("rect", fill=f"url(#{pattern_id(Hatch.RISING)})", stroke=FAINT, stroke_width=0.2, **_place(gap)),
        *([_haloed(words, middle, anchor="middle")] if fits else []),
        element("rect", fill="none", stroke=INK, stroke_width=0.25, **_place(whole)),
    ]


def _haloed(words: str, at: tuple[float, float], *, anchor: str = "start", size: float = _WORDS_MM) -> str:
    """Letters on whatever lies below them."""
    written = text(words, at, size=size, bold=True, anchor=anchor)
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


def _copies(seen: PlateSeen, lie: Lie) -> list[str]:
    """Each copy of the picture in dashes, a wedge where its top looks to, and which side of the sheet it is for."""
    parts = []
    for copy in seen.copies:
        box = lie.area(copy.lead_mm, copy.side_mm, round_mm=copy.round_mm, across_mm=copy.across_mm)
        parts.append(element("rect", fill="none", stroke=PAPER, stroke_width=0.8, **_place(box)))
        dashes = {"stroke": INK, "stroke_width": 0.3, "stroke_dasharray": "1.6 1"}
        parts += [element("rect", fill="none", **dashes, **_place(box)), _top_wedge(box, copy.top_deg)]
        if seen.placement.style is not WorkStyle.SHEETWISE:
            parts += _side_words(copy, box)
    return parts


def _side_words(copy: Copy, box: Box) -> list[str]:
    words = label("plate_figure.back" if copy.back else "plate_figure.front")
    if text_width_mm(words, _WORDS_MM, bold=True) > box.right - box.left - 2:
        return []
    return [_haloed(words, ((box.left + box.right) / 2, (box.top + box.bottom) / 2), anchor="middle")]


def _top_wedge(box: Box, top_deg: int) -> str:
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    tips = {0: (x, box.top), 90: (box.right, y), 180: (x, box.bottom), 270: (box.left, y)}
    tip = tips[top_deg]
    turn = f"translate({num(tip[0])} {num(tip[1])}) rotate({top_deg})"
    look = {"fill": INK, "stroke": PAPER, "stroke_width": 0.4, "paint_order": "stroke"}
    return element("path", d="M0 0.5l-1.5 2.6h3z", transform=turn, **look)


def _zone_lines(seen: PlateSeen, lie: Lie) -> list[str]:
    """Down the plate where a zone ends, as far as anything can print."""
    parts = []
    for edge in seen.zone_edges_mm:
        ends = [lie.at(along, float(edge)) for along in (0.0, seen.plate.usable_mm)]
        parts.append(line(ends, stroke=PAPER, stroke_width=0.4))
        parts.append(line(ends, stroke=FAINT, stroke_width=0.15, stroke_dasharray="0.4 1.1"))
    return parts


def _zones(seen: PlateSeen, lie: Lie) -> list[str]:
    """Above the plate: each zone at its place with a bar, its percent and its number."""
    shares, edges = seen.zone_shares, [float(edge) for edge in seen.zone_edges_mm]
    most = max(float(shares.max()), 1e-12)
    base = lie.box.top - _EDGE_MM
    top = base - 2 * _ROW_MM
    of = "plate_figure.zones-of-plate" if seen.placement.sheet is None else "plate_figure.zones-of-sheet"
    parts = [text(label(of), (lie.box.left, HEAD_MM + 4.0), size=_WORDS_MM, bold=True)]
    for number, (first, last) in enumerate(pairwise(edges), start=1):
        left, right = lie.at(0.0, first)[0], lie.at(0.0, last)[0]
        share = float(shares[number - 1])
        bar = Box(left + 0.4, top - _BAR_MM * share / most, right - 0.4, top)
        parts.append(element("rect", fill=INK, stroke=INK, stroke_width=0.1, **_place(bar)))
        parts += _zone_words(str(number), f"{100 * share:.1f}", Box(left, top, right, base))
    ends = [lie.at(0.0, edge)[0] for edge in edges]
    parts += [line([(x, top), (x, base)], stroke=INK, stroke_width=0.2) for x in ends]
    return [*parts, line([(ends[0], top), (ends[-1], top)], stroke=INK, stroke_width=0.2)]


def _zone_words(number: str, percent: str, box: Box) -> list[str]:
    """Percent above, number below, set smaller where the zone is narrow."""
    middle, room = (box.left + box.right) / 2, box.right - box.left - 0.8
    parts = []
    for words, base, bold in ((percent, box.bottom - _ROW_MM - 0.9, False), (number, box.bottom - 0.9, True)):
        size = min(_NUMBER_MM, _NUMBER_MM * room / text_width_mm(words, _NUMBER_MM, bold=bold))
        parts.append(text(words, (middle, base), size=size, bold=bold, anchor="middle"))
    return parts


def _frame(seen: PlateSeen, lie: Lie) -> list[str]:
    """Millimetres from the lead edge at the left, from the plate's operator side below; which side is which."""
    left, top, right, bottom = lie.box
    parts = [line([(left, top), (right, top)], stroke=INK, stroke_width=1.0, stroke_linecap="butt")]
    down = exact_axis("", 0.0, seen.round_mm)
    for tick, words in zip(down.ticks, tick_words(down.ticks), strict=True):
        y = lie.at(tick, seen.left_mm)[1]
        parts.append(line([(left - 1.2, y), (left, y)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (left - 2.0, y + 0.36 * _NUMBER_MM), size=_NUMBER_MM, anchor="end"))
    across = exact_axis("", 0.0, seen.right_mm)
    for tick, words in zip(across.ticks, tick_words(across.ticks), strict=True):
        x = lie.at(0.0, tick)[0]
        parts.append(line([(x, bottom), (x, bottom + 1.2)], stroke=INK, stroke_width=0.2))
        parts.append(text(words, (x, bottom + 3.8), size=_NUMBER_MM, anchor="middle"))
    base = bottom + 8.0
    parts.append(text(label("film_figure.operator-side"), (left, base), size=_WORDS_MM, bold=True))
    parts.append(text(label("film_figure.gear-side"), (right, base), size=_WORDS_MM, bold=True, anchor="end"))
    middle = (left + right) / 2
    parts.append(text(label("plate_figure.lead-edge"), (middle, top - 2.2), size=_WORDS_MM, bold=True, anchor="middle"))
    return parts


def _alt(subject: Subject, seen: PlateSeen) -> str:
    shares = "; ".join(f"{number}: {100 * share:.1f} %" for number, share in enumerate(seen.zone_shares, start=1))
    return label("plate_figure.alt", name=subject.name, ink=seen.placed.ink, zones=shares)
