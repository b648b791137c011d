"""Charts as far as a terminal can draw them: the start-up and the film across, in braille dots or plain characters."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmsplit.figures.axes import Axis, Plot, tick_words, tick_words_each
from filmsplit.figures.canvas import Canvas, Cells, in_ascii
from filmsplit.figures.profiles import Profile, Zones, panels_of
from filmsplit.figures.start_up import Course, check_courses, plot_of
from filmsplit.messages import label

ROWS = 12
LEAST_COLUMNS, MOST_COLUMNS = 30, 110
Mark = tuple[float, float, str]
"""Where a letter stands on the line, in values, and the letter."""


def start_up_in_terminal(course: Course, *, columns: int, plain: bool) -> tuple[str, ...]:
    """The course of one start-up in lines at most ``columns`` wide; rings mark the 63 % and the 95 % sheet."""
    check_courses([course])
    plot = plot_of([course], top=0.0)
    sheets = [float(n) for n in range(1, len(course.sheets_um) + 1)]
    signs = ("o", "@") if plain else ("○", "●")
    marks: list[Mark] = []
    words = [", ".join(filter(None, (course.name, label("film_figure.settled", um=f"{course.settled_um:.3g}"))))]
    for sign, percent, sheet in zip(signs, (63, 95), (course.sheets_63, course.sheets_95), strict=True):
        if sheet is None:
            words.append(label("film_figure.not-reached", percent=percent))
            continue
        words.append(f"{sign} {label('film_figure.mark', percent=percent, sheet=sheet)}")
        if 1 <= sheet <= len(sheets):
            marks.append((float(sheet), course.sheets_um[sheet - 1], sign))
    lines = _chart(plot, (sheets, course.sheets_um), marks=marks, columns=columns, plain=plain)
    return _finished([*lines, *_wrapped("  ".join(words), columns)], plain=plain)


def profile_in_terminal(across: Profile, *, columns: int, plain: bool, zones: Zones | None = None) -> tuple[str, ...]:
    """The film across in lines at most ``columns`` wide, operator side at the left."""
    plot = panels_of(across, None, zones)[0]
    lines = _chart(plot, (across.places_mm, across.film_um), marks=[], columns=columns, plain=plain)
    if zones is not None:
        lines.insert(-1, _zone_row(plot.x, zones, columns=columns, margin=_margin(plot)))
    return _finished([*lines, *_wrapped(label("film_figure.sides"), columns)], plain=plain)


def _finished(lines: list[str], *, plain: bool) -> tuple[str, ...]:
    return tuple(in_ascii(line.replace("µ", "u").rstrip()) if plain else line.rstrip() for line in lines)


def _wrapped(words: str, columns: int) -> list[str]:
    from textwrap import wrap  # noqa: PLC0415 - as in the drawing of the train

    return wrap(words, columns)


def _margin(plot: Plot) -> int:
    """Characters the numbers of the upright axis take, with its line."""
    return max(map(len, tick_words(plot.y.ticks))) + 2


def _wide(columns: int, margin: int) -> int:
    return max(LEAST_COLUMNS, min(columns, MOST_COLUMNS)) - margin


def _chart(
    plot: Plot, points: tuple[Sequence[float], Sequence[float]], *, marks: Sequence[Mark], columns: int, plain: bool
) -> list[str]:
    """Title, rows with numbers at the left, the level axis, its ends, its title."""
    margin = _margin(plot)
    across, down = (1, 1) if plain else (2, 4)
    canvas = Canvas(Cells(across, down, _wide(columns, margin), ROWS), plain=plain)
    size = (_wide(columns, margin) * across, ROWS * down)
    _trace(canvas, plot, points, size=size)
    for x, y, sign in marks:
        column, row = _dot_at(plot, x, y, size=size)
        canvas.write(sign, column=column // across, row=row // down)
    upright, corner, level = ("|", "+", "-") if plain else ("│", "└", "─")
    numbers = _numbers_by_row(plot.y)
    rows = [f"{numbers.get(row, ''):>{margin - 2}} {upright}{line}" for row, line in enumerate(canvas.lines())]
    foot = " " * (margin - 1) + corner + level * _wide(columns, margin)
    return [*_wrapped(plot.y.title, columns), *rows, foot, _ends(plot.x, margin=margin, columns=columns)]


def _ends(axis: Axis, *, margin: int, columns: int) -> str:
    """First and last value of the level axis, its title between them where it has room."""
    low, high, room = f"{axis.low:g}", f"{axis.high:g}", _wide(columns, margin)
    free = room - len(low) - len(high)
    return " " * margin + low + (axis.title if len(axis.title) + 2 <= free else "").center(free) + high


def _numbers_by_row(axis: Axis) -> dict[int, str]:
    """The numbers of the upright axis by the row they stand in; a row taken keeps the first."""
    rows: dict[int, str] = {}
    for tick, words in zip(axis.ticks, tick_words_each(axis), strict=True):
        rows.setdefault(min(ROWS - 1, int((1 - axis.part(tick)) * ROWS)), words)
    return rows


def _dot_at(plot: Plot, x: float, y: float, *, size: tuple[int, int]) -> tuple[int, int]:
    wide, high = size
    return min(wide - 1, int(plot.x.part(x) * wide)), max(0, min(high - 1, int((1 - plot.y.part(y)) * high)))


def _trace(
    canvas: Canvas, plot: Plot, points: tuple[Sequence[float], Sequence[float]], *, size: tuple[int, int]
) -> None:
    """Dots along the line, without holes; none where a value is not a number."""
    before: tuple[int, int] | None = None
    for x, y in zip(*points, strict=True):
        if not math.isfinite(y):
            before = None
            continue
        here = _dot_at(plot, x, y, size=size)
        for column, row in _between(before or here, here):
            canvas.dot(column, row, rim="*")
        before = here


def _between(start: tuple[int, int], end: tuple[int, int]) -> list[tuple[int, int]]:
    """Every dot on the straight way from one dot to another."""
    steps = max(abs(end[0] - start[0]), abs(end[1] - start[1]), 1)
    return [
        (round(start[0] + (end[0] - start[0]) * k / steps), round(start[1] + (end[1] - start[1]) * k / steps))
        for k in range(steps + 1)
    ]


def _zone_row(axis: Axis, zones: Zones, *, columns: int, margin: int) -> str:
    """The zone numbers under the line, each under the middle of its zone where it has room."""
    row = [" "] * (_wide(columns, margin) + margin)
    end = 0
    for number, (left, right) in enumerate(zip(zones.edges_mm, zones.edges_mm[1:], strict=False), start=1):
        words = str(number)
        middle = margin + axis.part((left + right) / 2) * _wide(columns, margin)
        start = int(middle - len(words) / 2 + 0.5)
        if start > end and start + len(words) <= len(row):
            row[start : start + len(words)] = words
            end = start + len(words)
    return "".join(row)
