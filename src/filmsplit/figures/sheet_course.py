"""Film or density sheet by sheet, for paper: the zones' mean and spread, the OK band, what is done when."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from filmsplit.figures.axes import DASHES_MM, ON_PAPER, RIBBON, Axis, Plot, linear_axis, log_axis
from filmsplit.figures.boxes import Box, Spot
from filmsplit.figures.drawing import FAINT, INK, Drawing, element, finish, group, line, text
from filmsplit.figures.flags import Flag, place_flags
from filmsplit.figures.heading import Subject
from filmsplit.figures.lettering import ASCENT, LINE_STEP, text_width_mm, wrapped
from filmsplit.figures.start_up import LOG_FROM, sheet_axis
from filmsplit.messages import label

WIDTH_MM = 182.0
"""As wide as the text of a sheet of paper: printed in its own size."""
LETTER_MM = 3.2
"""9 pt, to be read at a press."""
MOST_COURSES = 2
"""More ribbons over each other cannot be read in black."""
_PLOT_MM, _LEFT_MM, _RIGHT_MM, _ROW_MM, _SAMPLE_MM = 58.0, 12.0, 4.0, 5.0, 11.0
_HATCH_MM = 2.4
_FROM_ZERO_BELOW = 0.5
"""An axis whose least value is more than this part of the most does not begin at zero, and says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCourse:
    """One way to run: on each sheet from the first on the mean over the zones, the lowest and the highest zone."""

    name: str
    mean: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()

    @classmethod
    def over_zones(cls, name: str, sheets: Sequence[Sequence[float]]) -> SheetCourse:
        """From the values of all zones with image on every sheet [sheet][zone]."""
        rows = [[float(value) for value in sheet] for sheet in sheets]
        return cls(
            name=name,
            mean=[sum(row) / len(row) for row in rows],
            low=[min(row) for row in rows],
            high=[max(row) for row in rows],
        )

    @property
    def spread(self) -> bool:
        """Whether lowest and highest zone are known."""
        return bool(self.low)


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """What is done or reached at a sheet; sheets count from 1."""

    sheet: int
    words: str


def draw_sheet_course(
    subject: Subject,
    courses: Sequence[SheetCourse],
    *,
    axis: str,
    band: tuple[float, float] | None = None,
    events: Sequence[Event] = (),
) -> Drawing:
    """One or two courses over the number of the sheet, the OK band ``band`` hatched, events as flags.

    ``axis`` says what is measured and its unit. The drawing has no heading of its own. ``ValueError`` for no course or
    more than two, values that are not numbers or below zero, a band without height, and events off the axis.
    """
    check(courses, band=band, events=events)
    plot, flags = layout(courses, axis=axis, band=band, events=events)
    parts = [_ribbon(plot, number, course) for number, course in enumerate(courses)]
    parts += _band(plot, band)
    parts += plot.frame()
    parts += [_curve(plot, number, course) for number, course in enumerate(courses)]
    parts += _draw_flags(plot, flags)
    parts += [part for number, row in enumerate(_key(courses, band)) for part in _key_row(number, row)]
    foot = foot_lines(subject, plot, untold=events if flags is None else ())
    size = LETTER_MM * LINE_STEP
    begin = plot.box.bottom + ON_PAPER.title_below_mm
    parts += [text(words, (0.0, begin + number * size), size=LETTER_MM) for number, words in enumerate(foot)]
    height = begin + max(0, len(foot) - 1) * size + 2.0
    title = label("film_figure.course-title", name=subject.name)
    said = "; ".join([*(row.words for row in _key(courses, band)), *map(_event_words, events)])
    alt = label("film_figure.course-alt", name=subject.name, axis=axis, courses=said)
    return finish([part for part in parts if part], size_mm=(WIDTH_MM, height), title=title, alt=alt)


def check(courses: Sequence[SheetCourse], *, band: tuple[float, float] | None, events: Sequence[Event]) -> None:
    """``ValueError`` where this cannot be drawn."""
    if not 1 <= len(courses) <= MOST_COURSES:
        raise ValueError(f"between 1 and {MOST_COURSES} courses can be told apart")
    for course in courses:
        if not course.mean:
            raise ValueError("a course needs a value on every sheet")
        for values in (course.mean, course.low, course.high):
            if not all(math.isfinite(value) and value >= 0 for value in values):
                raise ValueError("a course needs finite values, zero or more")
            if len(values) not in (0, len(course.mean)):
                raise ValueError("lowest and highest zone need a value on every sheet")
        if bool(course.low) is not bool(course.high):
            raise ValueError("lowest and highest zone come together")
    if band is not None and not 0 <= band[0] < band[1] < math.inf:
        raise ValueError("an OK band needs two finite ends in order")
    if not all(1 <= event.sheet <= _last(courses) for event in events):
        raise ValueError("an event needs a sheet of the run")


def layout(
    courses: Sequence[SheetCourse], *, axis: str, band: tuple[float, float] | None, events: Sequence[Event]
) -> tuple[Plot, tuple[Flag, ...] | None]:
    """The plot under its key and its flags; ``None`` for flags that find no room: the foot has their words then."""
    x, y = _sheets(courses), _values(courses, axis=axis, band=band)
    top = _ROW_MM * len(_key(courses, band)) + 2.0 + LETTER_MM * LINE_STEP
    box = Box(_LEFT_MM, top, WIDTH_MM - _RIGHT_MM, top + _PLOT_MM)
    poles = [(Plot(box, x, y).at(float(event.sheet), y.low)[0], _event_words(event)) for event in events]
    room = Box(box.left, 0.0, WIDTH_MM, top - 1.0)
    flags = place_flags(poles, room=room, size_mm=LETTER_MM)
    down = 0.0 if not flags else room.bottom - min(flag.box.top for flag in flags)
    letters = replace(ON_PAPER, title_above_mm=2.4 + down)
    plot = Plot(box._replace(top=box.top + down, bottom=box.bottom + down), x, y, letters)
    if flags is None:
        return plot, None
    return plot, tuple(replace(flag, box=_lowered(flag.box, down)) for flag in flags)


def _lowered(box: Box, by: float) -> Box:
    return box._replace(top=box.top + by, bottom=box.bottom + by)


def _last(courses: Sequence[SheetCourse]) -> int:
    return max(2, *(len(course.mean) for course in courses))


def _sheets(courses: Sequence[SheetCourse]) -> Axis:
    """Linear, unless the first course to change has done so within a small part of the run."""
    last = _last(courses)
    if last / min(_changed(course.mean) for course in courses) >= LOG_FROM:
        return log_axis(label("film_figure.axis-sheets-log"), 1.0, float(last))
    return sheet_axis(last)


def _changed(mean: Sequence[float]) -> int:
    """The sheet by which 63 % of the way from the first value to the last is made; the last where nothing changes."""
    way = mean[-1] - mean[0]
    if way == 0:
        return len(mean)
    return next(number for number, value in enumerate(mean, start=1) if (value - mean[0]) / way >= 0.63)


def _values(courses: Sequence[SheetCourse], *, axis: str, band: tuple[float, float] | None) -> Axis:
    values = [value for course in courses for many in (course.mean, course.low, course.high) for value in many]
    low, high = min([*values, *(band or ())]), max([*values, *(band or ())])
    if low > _FROM_ZERO_BELOW * high:
        return linear_axis(label("film_figure.not-from-zero", title=axis), low, high)
    return linear_axis(axis, 0.0, high)


def _ribbon(plot: Plot, number: int, course: SheetCourse) -> str:
    """The room between the lowest and the highest zone: grey for the first course, fine dashes for the second."""
    if not course.spread:
        return ""
    sheets = range(1, len(course.mean) + 1)
    if number == 0:
        return plot.ribbon(sheets, (course.low, course.high))
    edges = (course.low, course.high)
    return group([plot.curve(sheets, edge, dash=DASHES_MM[number], width=0.2) for edge in edges])


def _curve(plot: Plot, number: int, course: SheetCourse) -> str:
    return plot.curve(range(1, len(course.mean) + 1), course.mean, dash=DASHES_MM[number], width=0.6)


def _band(plot: Plot, band: tuple[float, float] | None) -> list[str]:
    """The OK band: two lines with hatching between."""
    if band is None:
        return []
    (left, bottom), (right, top) = plot.at(plot.x.low, band[0]), plot.at(plot.x.high, band[1])
    return hatched(Box(left, top, right, bottom))


def hatched(box: Box) -> list[str]:
    """A box with its upper and lower line and hatching at 45 degrees."""
    left, top, right, bottom = box
    high = bottom - top
    steps = int((right - left + high) / _HATCH_MM)
    rays = [left - high + _HATCH_MM * (step + 1) for step in range(steps)]
    strokes = [_ray(foot, box) for foot in rays]
    return [
        group([line(stroke) for stroke in strokes if stroke], stroke=FAINT, stroke_width=0.15),
        group([line([(left, y), (right, y)]) for y in (top, bottom)], stroke=INK, stroke_width=0.3),
    ]


def _ray(foot: float, box: Box) -> list[Spot]:
    """A stroke up to the right from ``foot`` on the lower line, cut to the box."""
    begin, end = max(box.left, foot), min(box.right, foot + box.bottom - box.top)
    return [(begin, box.bottom - (begin - foot)), (end, box.bottom - (end - foot))] if begin < end else []


def _draw_flags(plot: Plot, flags: tuple[Flag, ...] | None) -> list[str]:
    """Poles to the axis, words at their sides."""
    poles = [line([(flag.pole_mm, flag.box.top), (flag.pole_mm, plot.box.bottom)]) for flag in flags or ()]
    words = [
        text(
            each,
            (flag.box.left, flag.box.top + LETTER_MM * (ASCENT + number * LINE_STEP)),
            size=LETTER_MM,
        )
        for flag in flags or ()
        for number, each in enumerate(flag.lines)
    ]
    return [group(poles, stroke=INK, stroke_width=0.25), *words]


def _event_words(event: Event) -> str:
    return label("film_figure.event", sheet=event.sheet, words=event.words)


@dataclass(frozen=True, slots=True)
class KeyRow:
    """A row of the key: which line or ribbon it stands for (``None``: the OK band), and its words."""

    course: int | None
    spread: bool
    words: str


def _key(courses: Sequence[SheetCourse], band: tuple[float, float] | None) -> list[KeyRow]:
    rows = [
        KeyRow(
            number, course.spread, label(f"film_figure.course-{'zones' if course.spread else 'one'}", name=course.name)
        )
        for number, course in enumerate(courses)
    ]
    if band is not None:
        rows.append(KeyRow(None, True, label("film_figure.ok-band", low=f"{band[0]:.2f}", high=f"{band[1]:.2f}")))
    return rows


def _key_row(number: int, row: KeyRow) -> Iterator[str]:
    """A sample and its words."""
    y = _ROW_MM * (number + 0.5)
    left, right = _LEFT_MM, _LEFT_MM + _SAMPLE_MM
    box = Box(left, y - 1.7, right, y + 1.7)
    if row.course is None:
        yield from hatched(box)
    else:
        dash = DASHES_MM[row.course]
        look = {"stroke": INK, "stroke_dasharray": dash, "stroke_linecap": "butt" if dash else None}
        if row.spread and row.course == 0:
            place = {"x": left, "y": box.top, "width": _SAMPLE_MM, "height": box.bottom - box.top}
            yield element("rect", fill=RIBBON, stroke=FAINT, stroke_width=0.15, **place)
        elif row.spread:
            yield group([line([(left, at), (right, at)], stroke_width=0.2, **look) for at in (box.top, box.bottom)])
        yield line([(left, y), (right, y)], stroke_width=0.6, **look)
    yield text(row.words, (right + 2.0, y + 0.36 * LETTER_MM), size=LETTER_MM)


def foot_lines(subject: Subject, plot: Plot, *, untold: Sequence[Event]) -> list[str]:
    """What stands beside and under the title of the sheets: that a press is invented, events that found no room."""
    free = plot.box.right - text_width_mm(plot.x.title, LETTER_MM) - 4.0
    words = [*([label("figure.invented")] if subject.invented else []), *map(_event_words, untold)]
    return [each for said in words for each in wrapped(said, free, LETTER_MM)]
