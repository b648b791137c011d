"""Where the numbers of a film drawing stand: at the rim beside their band, else outside it, else on a leader."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from filmsplit.figures.boxes import Box, Disc, Spot, on_circle
from filmsplit.figures.drawing import ACCENT, INK, circle, element, num
from filmsplit.figures.film_bands import LEAST_MM, Band, BandScale, Film, bands_of, is_over, scale_for
from filmsplit.figures.layout import Note, disc_of, impression_note, surrounding_boxes
from filmsplit.figures.legend import Entry
from filmsplit.figures.lines import ID_MM, SMALL_ID_MM, SMALL_MM, Row, Rows, size_of
from filmsplit.figures.members import gap_spots, turn_arrow_spots_at
from filmsplit.figures.page import BY_SIZE, Page, choose_page
from filmsplit.figures.placement import Board
from filmsplit.figures.stage import Body, Stage, gap_angles, set_stage
from filmsplit.figures.surroundings import sheet_ends
from filmsplit.messages import label
from filmsplit.press import Press, Unit

_DEPTHS_MM = (1.9, 2.4, 3.0, 3.7, 4.5)
_CYLINDER_SKIN_MM = 1.6
_LEANS = (0.0, 0.12, -0.12, 0.24, -0.24, 0.34, -0.34, 0.42, -0.42)
_OFF_GAP_DEG = 6.0
"""Where along the arc a number is tried, from its middle, in parts of its span."""
_OUT_MM = (1.8, 2.4, 3.2, 4.2)
_SAMPLES = (1.0, 2.0, 5.0)


@dataclass(frozen=True, slots=True)
class Asked:
    """The films to draw, what they call the ink feed, the film on the sheet where known, the paper where told."""

    films: Sequence[Film]
    feed: str
    sheet_um: float | None = None
    paper: str | None = None


@dataclass(frozen=True, slots=True)
class FilmLayout:
    """Everything decided; ``lost`` are numbers that found no place, in words."""

    page: Page
    stage: Stage
    bands: tuple[Band, ...]
    scale: BandScale
    gaps: dict[str, float]
    entries: tuple[Entry, ...]
    numbers: tuple[tuple[Band, Note], ...]
    notes: tuple[Note, ...]
    lost: tuple[str, ...]


def two_figures(value: float) -> str:
    """A number to two significant figures, written out: 0.29, 1.1, 12, 120."""
    if value <= 0:
        return "0"
    places = 1 - math.floor(math.log10(float(f"{value:.2g}")))
    return f"{round(value, places):.{max(places, 0)}f}"


def lay_out_films(press: Press, unit: Unit, asked: Asked) -> FilmLayout:
    """Page, scale and places; a larger paper is tried while a number has found none."""
    scale = scale_for(film.film_um for film in asked.films)
    entries = entries_of(scale)
    tried = []
    for larger in range(1 if asked.paper is not None else len(BY_SIZE)):
        page = choose_page((unit,), entries, paper=asked.paper, larger=larger)
        stage = set_stage(press, unit, page.mappings[0])
        tried.append(_on_page(stage, page, asked, scale=scale, entries=entries))
        if not tried[-1].lost:
            break
    return min(tried, key=lambda layout: len(layout.lost))


def _on_page(stage: Stage, page: Page, asked: Asked, *, scale: BandScale, entries: list[Entry]) -> FilmLayout:
    gaps = gap_angles(stage)
    bands = bands_of(stage, asked.films, scale, feed=asked.feed, gaps=gaps)
    board = _board(stage, page, bands=bands, gaps=gaps)
    notes, lost = _names(stage, board)
    notes.append(impression_note(stage, stage.bodies["impression"], board))
    notes += _sheet_note(stage, board, asked.sheet_um)
    numbers = []
    for band in sorted(bands, key=lambda band: band.length_mm):
        note = _number(band, board)
        if note is None:
            lost.append(f"{band.body.id} {two_figures(band.film_um)}")
        else:
            numbers.append((band, note))
    return FilmLayout(page, stage, tuple(bands), scale, gaps, tuple(entries), tuple(numbers), tuple(notes), tuple(lost))


def entries_of(scale: BandScale) -> list[Entry]:
    """The legend: bands of three round films, and how thickness follows film."""
    law = label("film_figure.law-root" if scale.root else "film_figure.law-linear")
    entries = [_band_entry(scale, film) for film in samples_um(scale)]
    entries.append(Entry(law, _law_picture))
    entries.append(Entry(label("film_figure.narrowed", least=f"{LEAST_MM:g}"), _wedge_picture))
    entries.append(Entry(label("film_figure.no-band"), _bare_picture))
    return entries


def _law_picture(x: float, y: float) -> list[str]:
    """A band, and one twice as thick."""
    return [_bar(x + dx, y + 0.9 - thick / 2, width=2.4, thick=thick) for dx, thick in ((-1.4, 0.9), (1.4, 1.8))]


def _wedge_picture(x: float, y: float) -> list[str]:
    """A band that runs out."""
    spots = ((-2.6, -0.8), (0.0, -0.8), (2.6, 0.7), (2.6, 0.8), (-2.6, 0.8))
    way = "L".join(f"{num(x + dx)} {num(y + dy)}" for dx, dy in spots)
    return [element("path", d=f"M{way}z", fill=ACCENT)]


def _bar(x: float, y: float, *, width: float, thick: float) -> str:
    place = {"x": float(x - width / 2), "y": float(y - thick / 2), "width": float(width), "height": float(thick)}
    return element("rect", fill=ACCENT, **place)


def _bare_picture(x: float, y: float) -> list[str]:
    return [circle(x, y, 1.9, stroke=INK, stroke_width=0.25)]


def samples_um(scale: BandScale) -> list[float]:
    """Three round films, the largest near the top of the scale, that fall well apart on it."""
    if scale.most_um <= 0:
        return []
    power = 10.0 ** next(p for p in range(-9, 12) if 10.0 ** (p + 1) > scale.most_um)
    rising = [float(f"{part * power * decade:.3g}") for decade in (0.01, 0.1, 1.0) for part in _SAMPLES]
    fitting = [film for film in rising if film <= scale.most_um and scale.thickness_mm(film) > LEAST_MM]
    return fitting[-1::-4][:3][::-1] if scale.root else fitting[-1::-2][:3][::-1]


def _band_entry(scale: BandScale, film_um: float) -> Entry:
    thick = scale.thickness_mm(film_um)

    return Entry(label("film_figure.band", um=f"{film_um:g}"), lambda x, y: [_bar(x, y, width=5.2, thick=thick)])


def _board(stage: Stage, page: Page, *, bands: Sequence[Band], gaps: Mapping[str, float]) -> Board:
    discs = [disc_of(body) for body in stage.bodies.values() if body.id != "impression"]
    board = Board(page.train, discs)
    for box in surrounding_boxes(stage):
        board.take(box)
    for nip in stage.nips:
        board.take(_about(nip.at, 0.4))
    for band in bands:
        for inner, outer in zip(band.inner, band.outer, strict=True):
            board.take(_around(inner, outer), words=False)
    for body in stage.bodies.values():
        for spot in turn_arrow_spots_at(body, arrow_inset(body), steps=max(3, round(body.r))):
            board.take(_about(spot, 0.5), words=False)
        for spot in gap_spots(body, gaps[body.id]) if body.id in gaps else ():
            board.take(_about(spot, 0.5), words=False)
    return board


def arrow_inset(body: Body) -> float:
    """How far inside the rim the turn arrow runs: round the id, to leave the rim to the numbers."""
    if not body.is_roller:
        return 3.2 if body.id == "plate" else 3.9
    return body.r - min(max(3.1, 0.42 * body.r), max(body.r - 1.0, 0.6 * body.r))


def _about(at: Spot, half: float) -> Box:
    return Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half)


def _around(a: Spot, b: Spot) -> Box:
    return Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])).grown(0.2)


def _names(stage: Stage, board: Board) -> tuple[list[Note], list[str]]:
    """Every id in the middle of its circle, smaller or outside where the circle is small."""
    notes, lost = [], []
    for body in stage.bodies.values():
        if body.id == "impression":
            continue
        disc, name = disc_of(body), body.id if body.is_roller else label(f"figure.{body.id}")
        choices: list[Rows] = [(Row(name, size, bold=True),) for size in (ID_MM, SMALL_ID_MM, SMALL_MM)]
        inside = [(rows, box) for rows in choices if disc.holds((box := _centred(rows, body)).grown(0.3))]
        if inside:
            rows, box = inside[0]
            board.take(box)
            notes.append(Note(rows, box, "middle", inside=disc))
            continue
        placed = board.find_beside(disc, size_of(choices[1]))
        if placed is None:
            lost.append(name)
        else:
            notes.append(Note(choices[1], board.take_placed(placed).box, "middle", placed.leader))
    return notes, lost


def _centred(rows: Rows, body: Body) -> Box:
    return _box_about((body.x, body.y + (0.4 if body.sense else 0.0)), size_of(rows))


def _box_about(middle: Spot, size: tuple[float, float]) -> Box:
    half_w, half_h = size[0] / 2, size[1] / 2
    return Box(middle[0] - half_w, middle[1] - half_h, middle[0] + half_w, middle[1] + half_h)


def _sheet_note(stage: Stage, board: Board, sheet_um: float | None) -> list[Note]:
    """The film on the sheet, where the sheet leaves the blanket."""
    words = label("figure.sheet") if sheet_um is None else label("film_figure.on-sheet", um=two_figures(sheet_um))
    rows = (Row(words, ID_MM, bold=sheet_um is not None),)
    placed = board.find_beside(Disc(*sheet_ends(stage)[1], 2.0), size_of(rows))
    return [] if placed is None else [Note(rows, board.take_placed(placed).box, "middle", placed.leader)]


def _number(band: Band, board: Board) -> Note | None:
    rows = (Row(two_figures(band.film_um), SMALL_MM),)
    size = size_of(rows)
    disc = disc_of(band.body)
    free = disc._replace(r=disc.r - _skin_mm(band))
    for box in _inside_places(band, size):
        if free.holds(box.grown(0.5)) and board.is_free(box, inside=True):
            board.take(box)
            return Note(rows, box, "middle", inside=disc)
    for box in _outside_places(band, size):
        if board.is_free(box):
            board.take(box)
            return Note(rows, box, "middle")
    foot = Disc(*on_circle((band.body.x, band.body.y), band.body.r + band.thickness_mm / 2, band.middle_deg), 0.3)
    placed = board.find_beside(foot, size, own=(disc,))
    return None if placed is None else Note(rows, board.take_placed(placed).box, "middle", placed.leader)


def _skin_mm(band: Band) -> float:
    """What plate or blanket take inside the rim."""
    return 0.0 if band.body.is_roller else _CYLINDER_SKIN_MM


def _angles(band: Band) -> list[float]:
    """Where a number may stand: near the middle of its arc, and not at the gap, where there is no band."""
    tried = [band.middle_deg + lean * (band.end_deg - band.start_deg) for lean in _LEANS]
    return [angle for angle in tried if not is_over(band.gap, angle, margin_deg=_OFF_GAP_DEG)]


def _inside_places(band: Band, size: tuple[float, float]) -> Iterator[Box]:
    for depth in _DEPTHS_MM:
        for angle in _angles(band):
            yield _box_about(band.body.at(angle, inset=depth + _skin_mm(band)), size)


def _outside_places(band: Band, size: tuple[float, float]) -> Iterator[Box]:
    for out in _OUT_MM:
        for angle in _angles(band):
            yield _box_about(band.body.at(angle, inset=-(band.thickness_mm + out)), size)
