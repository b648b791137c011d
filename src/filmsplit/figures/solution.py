"""Fountain solution drawn: how far conductivity has risen over its fresh batch, and the titration line with a dose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from filmsplit.condition.solution import MOST_RISE_US_PER_CM, Rise
from filmsplit.condition.titration import TitrationLine
from filmsplit.figures.axes import DASHES_MM, ON_PAPER, Plot, linear_axis, ring
from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import INK, Drawing, finish, line, text
from filmsplit.messages import label
from filmsplit.units.conductivity import ConductivitySystem, format_conductivity

SIZE_MM = (182.0, 70.0)
_BOX = Box(18.0, 10.0, 168.0, 58.0)
_DAY_S = 86_400.0
_LETTERS_MM = 3.2


@dataclass(frozen=True, slots=True, kw_only=True)
class _Point:
    """One sample in use: when, by how much over its batch, and where it was taken."""

    when: datetime
    rise: float
    place: tuple[str, str]
    batch: int


def draw_rises(rises: Sequence[Rise], *, written: ConductivitySystem) -> Drawing:
    """The rise of each sample over its fresh batch by day, one kind of line for each pan and tank; a new batch begins
    a new line. Dashed across: the limit. ``ValueError`` where none could be compared."""
    points = _points(rises)
    if not points:
        raise ValueError("nothing to draw")
    first = points[0].when
    days = [_days(each.when, first) for each in points]
    values = [each.rise for each in points] + [0.0, 1.1 * MOST_RISE_US_PER_CM]
    x = linear_axis(label("solution_figure.trend_x", day=first.date().isoformat()), 0.0, max(*days, 0.25), most=9)
    y = linear_axis(label("solution_figure.trend_y", unit=written.value), min(values), max(values), most=6)
    plot = Plot(_BOX, x, y, ON_PAPER)
    parts = [*plot.frame(), *_limit(plot), *_courses(plot, points, first=first)]
    parts += [ring(plot.at(day, each.rise), filled=False) for day, each in zip(days, points, strict=True)]
    last = format_conductivity(points[-1].rise, written, signed=True)
    limit = format_conductivity(MOST_RISE_US_PER_CM, written, signed=True)
    alt = label("solution_figure.trend_alt", count=len(points), last=last, limit=limit)
    return finish(parts, size_mm=SIZE_MM, title=label("solution_figure.trend"), alt=alt)


def _points(rises: Sequence[Rise]) -> list[_Point]:
    return [
        _Point(
            when=each.now.moment.replace(tzinfo=None),
            rise=each.rise_us_per_cm,
            place=(each.now.unit, each.now.where.value),
            batch=each.fresh.number,
        )
        for each in rises
        if each.rise_us_per_cm is not None
    ]


def _days(when: datetime, first: datetime) -> float:
    return (when - first).total_seconds() / _DAY_S


def _limit(plot: Plot) -> list[str]:
    across = plot.curve([plot.x.low, plot.x.high], [MOST_RISE_US_PER_CM] * 2, dash=DASHES_MM[1], width=0.4)
    right, level = plot.at(plot.x.high, MOST_RISE_US_PER_CM)
    return [across, text(label("solution_figure.limit"), (right + 1.0, level + 1.0), size=_LETTERS_MM)]


def _courses(plot: Plot, points: Sequence[_Point], *, first: datetime) -> list[str]:
    places = list(dict.fromkeys(each.place for each in points))
    parts = []
    for course in dict.fromkeys((each.place, each.batch) for each in points):
        own = [each for each in points if (each.place, each.batch) == course]
        dash = DASHES_MM[places.index(course[0]) % len(DASHES_MM)]
        parts.append(plot.curve([_days(each.when, first) for each in own], [each.rise for each in own], dash=dash))
    return parts


def draw_titration(titration: TitrationLine, *, fresh_us_per_cm: float | None, written: ConductivitySystem) -> Drawing:
    """The line through its readings; dotted, how the dose of the fresh batch is read from it."""
    dose = None if fresh_us_per_cm is None else titration.dose_of(fresh_us_per_cm)
    doses = [each.dose_percent for each in titration.readings] + ([] if dose is None else [dose])
    values = [each.us_per_cm for each in titration.readings] + [titration.at(max(doses))]
    x = linear_axis(label("solution_figure.line_x"), min(0.0, *doses), max(doses), most=8)
    y = linear_axis(label("solution_figure.line_y", unit=written.value), min(0.0, *values), max(values), most=6)
    plot = Plot(_BOX, x, y, ON_PAPER)
    ends = [min(doses), max(doses)]
    parts = [*plot.frame(), plot.curve(ends, [titration.at(each) for each in ends])]
    parts += [ring(plot.at(each.dose_percent, each.us_per_cm), filled=False) for each in titration.readings]
    told = ""
    if dose is not None and fresh_us_per_cm is not None:
        parts += _read_off(plot, dose=dose, value=fresh_us_per_cm)
        read = format_conductivity(fresh_us_per_cm, written)
        told = label("solution_figure.line_dose", read=read, dose=f"{dose:.1f}")
    water = format_conductivity(titration.water_us_per_cm, written)
    step = format_conductivity(titration.step_us_per_cm, written)
    alt = label("solution_figure.line_alt", count=len(titration.readings), water=water, step=step, dose=told)
    return finish(parts, size_mm=SIZE_MM, title=label("solution_figure.line"), alt=alt)


def _read_off(plot: Plot, *, dose: float, value: float) -> list[str]:
    """From the conductivity across to the line, and down to the dose."""
    corner = plot.at(dose, value)
    way = [plot.at(plot.x.low, value), corner, plot.at(dose, plot.y.low)]
    words = f"{label('solution_figure.fresh')}: {dose:.1f} %"
    left, level = way[0]
    return [
        line(way, stroke=INK, stroke_width=0.4, stroke_dasharray=DASHES_MM[2]),
        ring(corner, filled=True),
        text(words, (left + 2.0, level - 1.4), size=_LETTERS_MM),
    ]
