"""How the sheets come to their colour: film against sheet number, with the 63 % and 95 % sheets named."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from filmsplit.figures.axes import DASHES_MM, Axis, Plot, draw_key, linear_axis, log_axis, ring
from filmsplit.figures.boxes import Box, Disc, Spot
from filmsplit.figures.drawing import FAINT, INK, Drawing, finish, group, line, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.lines import SMALL_MM
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.placement import Board
from filmsplit.messages import label

_WIDTH_MM, _PLOT_MM, _KEY_ROW_MM, _LEFT_MM = 210.0, 84.0, 4.2, 13.0
LOG_FROM = 40.0
"""With this many times more sheets than the first 63 % the early sheets would be a wall: a logarithmic axis then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One run: mean film on each sheet from the first on, the settled film, and when 63 % and 95 % are reached.

    ``sheets_63`` and ``sheets_95`` are sheet numbers from 1, ``None`` where not reached. ``band`` is low and high film
    for every sheet.
    """

    name: str
    sheets_um: Sequence[float]
    settled_um: float
    sheets_63: int | None
    sheets_95: int | None
    band: tuple[Sequence[float], Sequence[float]] | None = None


def draw_start_up(subject: Subject, courses: Sequence[Course], *, change: str = "") -> Drawing:
    """The courses over one axis of sheets. One course in micrometres; several as parts of their settled films.

    ``change`` says in words what was changed at the first sheet. ``ValueError`` for no course, more than can be told
    apart, a film that is not a number, or a settled film that is not above zero.
    """
    check_courses(courses)
    plot = plot_of(courses, top=HEAD_MM + _KEY_ROW_MM * (len(courses) + bool(_ribbon_words(courses))) + 9.0)
    height = plot.box.bottom + 14.0
    view = label("film_figure.start-up-log" if plot.x.log else "film_figure.start-up-linear")
    title = label("film_figure.start-up-title", name=subject.name)
    parts = draw_heading(title, f"{change} {view}".strip(), width_mm=_WIDTH_MM, invented=subject.invented)
    key = [(DASHES_MM[i], said(c)) for i, c in enumerate(courses)]
    parts += draw_key(key, (MARGIN_MM + _LEFT_MM, HEAD_MM + 2.0), ribbon=_ribbon_words(courses))
    ribbons = [_ribbon(plot, course, whole=_whole(courses, course)) for course in courses]
    parts += [*ribbons, *plot.frame(), *_settled(plot, courses)]
    for i, course in enumerate(courses):
        ys = [film / _whole(courses, course) for film in course.sheets_um]
        parts.append(plot.curve(range(1, len(ys) + 1), ys, dash=DASHES_MM[i]))
    parts += _marks(plot, courses)
    alt = label("film_figure.start-up-alt", name=subject.name, courses="; ".join(map(said, courses)))
    return finish([part for part in parts if part], size_mm=(_WIDTH_MM, height), title=title, alt=alt)


def check_courses(courses: Sequence[Course]) -> None:
    """``ValueError`` where the courses cannot be drawn."""
    if not 1 <= len(courses) <= len(DASHES_MM):
        raise ValueError(f"between 1 and {len(DASHES_MM)} courses can be told apart")
    for course in courses:
        films = [*course.sheets_um, *(film for edge in course.band or () for film in edge)]
        if not course.sheets_um or not all(math.isfinite(film) and film >= 0 for film in films):
            raise ValueError("a course needs a finite film, zero or more, on every sheet")
        if not (math.isfinite(course.settled_um) and course.settled_um > 0):
            raise ValueError("a course needs a settled film above zero")


def plot_of(courses: Sequence[Course], *, top: float) -> Plot:
    """The axes: film from zero, sheets from the first; logarithmic where one course is far quicker than the longest."""
    last = max(2, *(len(course.sheets_um) for course in courses))
    quickest = min((course.sheets_63 or last for course in courses), default=last)
    if last / quickest >= LOG_FROM:
        x = log_axis(label("film_figure.axis-sheets-log"), 1.0, float(last))
    else:
        x = sheet_axis(last)
    films = [film / _whole(courses, c) for c in courses for film in (*c.sheets_um, c.settled_um, *_over(c))]
    key = "film_figure.axis-film" if len(courses) == 1 else "film_figure.axis-part"
    y = linear_axis(label(key), 0.0, max(films))
    return Plot(Box(MARGIN_MM + _LEFT_MM, top, _WIDTH_MM - MARGIN_MM - 3.0, top + _PLOT_MM), x, y)


def sheet_axis(last: int) -> Axis:
    """Sheets from the first to ``last``, in even steps."""
    axis = linear_axis(label("film_figure.axis-sheets"), 0.0, float(last))
    return Axis(title=axis.title, low=0.0, high=float(last), ticks=tuple(t for t in axis.ticks if t <= last))


def _over(course: Course) -> Sequence[float]:
    return course.band[1] if course.band is not None else ()


def _whole(courses: Sequence[Course], course: Course) -> float:
    """What a film is divided by: nothing where one course stands alone, else its settled film in percent."""
    return 1.0 if len(courses) == 1 else course.settled_um / 100.0


def said(course: Course) -> str:
    """The course in words: name, settled film, both sheets."""
    reached = [
        label("film_figure.reached", percent=percent, sheet=sheet)
        if sheet is not None
        else label("film_figure.not-reached", percent=percent)
        for percent, sheet in ((63, course.sheets_63), (95, course.sheets_95))
    ]
    settled = label("film_figure.settled", um=f"{course.settled_um:.3g}")
    return ", ".join([*([course.name] if course.name else []), settled, *reached])


def _ribbon_words(courses: Sequence[Course]) -> str:
    return label("film_figure.ribbon") if any(course.band is not None for course in courses) else ""


def _ribbon(plot: Plot, course: Course, *, whole: float) -> str:
    if course.band is None:
        return ""
    low, high = ([film / whole for film in edge] for edge in course.band)
    return plot.ribbon(range(1, len(low) + 1), (low, high))


def _settled(plot: Plot, courses: Sequence[Course]) -> list[str]:
    """The settled film, a fine dashed level."""
    y = plot.at(plot.x.high, courses[0].settled_um / _whole(courses, courses[0]))[1]
    look = {"stroke": FAINT, "stroke_width": 0.25, "stroke_dasharray": "0.8 0.8"}
    return [line([(plot.box.left, y), (plot.box.right, y)], **look)]


def marked(plot: Plot, courses: Sequence[Course]) -> list[tuple[Spot, int, int]]:
    """The marked sheets: spot on paper, percent, sheet number."""
    found = []
    for course in courses:
        for percent, sheet in ((63, course.sheets_63), (95, course.sheets_95)):
            if sheet is not None and 1 <= sheet <= len(course.sheets_um):
                film = course.sheets_um[sheet - 1] / _whole(courses, course)
                found.append((plot.at(float(sheet), film), percent, sheet))
    return found


def _marks(plot: Plot, courses: Sequence[Course]) -> list[str]:
    """A drop line, a ring (open at 63 %, filled at 95 %) and words where there is room; the key has them anyway."""
    spots = marked(plot, courses)
    drops = [line([at, (at[0], plot.box.bottom)], stroke=FAINT, stroke_width=0.2) for at, _, _ in spots]
    words = [text(said, (box.left, box.bottom - 0.5), size=SMALL_MM) for said, box in place_marks(plot, courses)]
    halo = group(words, stroke="#ffffff", stroke_width=0.7, paint_order="stroke", fill=INK)
    return [group(drops), *(ring(at, filled=percent > 63) for at, percent, _ in spots), halo]


def place_marks(plot: Plot, courses: Sequence[Course]) -> list[tuple[str, Box]]:
    """The words beside the marks, clear of all lines and of each other; what finds no room is left to the key."""
    board = Board(plot.box, [])
    for course in courses:
        ys = [film / _whole(courses, course) for film in course.sheets_um]
        for run in plot.runs(range(1, len(ys) + 1), ys):
            for start, end in pairwise(run):
                board.take(
                    Box(min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1]))
                )
    level = plot.at(plot.x.high, courses[0].settled_um / _whole(courses, courses[0]))[1]
    board.take(Box(plot.box.left, level, plot.box.right, level))
    spots = marked(plot, courses)
    for at, _, _ in spots:
        board.take(Box(at[0], at[1], at[0], plot.box.bottom))
    placed = []
    for at, percent, sheet in spots:
        words = label("film_figure.mark", percent=percent, sheet=sheet)
        found = board.find_beside(Disc(*at, 1.2), (text_width_mm(words, SMALL_MM), 1.22 * SMALL_MM))
        if found is not None and found.leader is None:
            placed.append((words, board.take_placed(found).box))
    return placed
