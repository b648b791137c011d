"""How a cover hardens: its readings, the course of the trend with its band, the limit, and when it is crossed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from filmsplit.condition.forecast import Ageing
from filmsplit.figures.axes import DASHES_MM, ON_PAPER, Plot, linear_axis, ring
from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import INK, Drawing, finish, line, text
from filmsplit.messages import label

_SIZE_MM = (182.0, 70.0)
_BOX = Box(15.0, 10.0, 178.0, 58.0)
_DAYS_A_YEAR = 365.25


@dataclass(frozen=True, slots=True, kw_only=True)
class AgeingAsked:
    """What a picture shows: the course of a cover, its limit, the interval of the crossing, and today."""

    name: str
    ageing: Ageing
    limit_shore_a: float
    low: date | None
    median: date | None
    high: date | None
    today: date


def draw_ageing(asked: AgeingAsked) -> Drawing:
    """The picture, for paper at its own size. Rings: readings; bar: the interval, its stroke the median."""
    course, read = asked.ageing.course, asked.ageing.read
    plot = _plot(asked)
    xs = [_years(asked, each.on) for each in course]
    low, high = [each.value - each.sigma for each in course], [each.value + each.sigma for each in course]
    parts = [plot.ribbon(xs, (low, high)), *plot.frame(), plot.curve(xs, [each.value for each in course])]
    parts.append(plot.curve([plot.x.low, plot.x.high], [asked.limit_shore_a] * 2, dash=DASHES_MM[1], width=0.4))
    parts += _crossing(asked, plot)
    parts += [ring(plot.at(_years(asked, each.on), each.value), filled=False) for each in read]
    parts += _today(asked, plot)
    alt = label("ageing_figure.alt", name=asked.name, count=len(read), limit=f"{asked.limit_shore_a:g}")
    return finish(parts, size_mm=_SIZE_MM, title=asked.name, alt=alt)


def _plot(asked: AgeingAsked) -> Plot:
    course, read = asked.ageing.course, asked.ageing.read
    values = [each.value for each in read] + [end for each in course for end in (each.value - each.sigma,)]
    values += [each.value + each.sigma for each in course] + [1.1 * asked.limit_shore_a, 0.0]
    last = max(_years(asked, each) for each in (course[-1].on, asked.today))
    x = linear_axis(label("ageing_figure.x", day=asked.ageing.began.isoformat()), 0.0, last, most=9)
    y = linear_axis(label("ageing_figure.y"), min(values), max(values), most=6)
    return Plot(_BOX, x, y, ON_PAPER)


def _years(asked: AgeingAsked, on: date) -> float:
    return (on - asked.ageing.began).days / _DAYS_A_YEAR


def _crossing(asked: AgeingAsked, plot: Plot) -> list[str]:
    """The interval as a bar on the limit; it is open to the right where its end lies beyond the forecast."""
    if asked.low is None:
        return []
    begin = min(max(_years(asked, asked.low), 0.0), plot.x.high)
    end = plot.x.high if asked.high is None else min(_years(asked, asked.high), plot.x.high)
    y = asked.limit_shore_a
    bar = {"stroke": INK, "stroke_width": 1.6, "stroke_linecap": "butt"}
    parts = [line([plot.at(begin, y), plot.at(end, y)], **bar)]
    if asked.median is not None and _years(asked, asked.median) <= plot.x.high:
        x, level = plot.at(max(_years(asked, asked.median), 0.0), y)
        parts.append(line([(x, level - 2.4), (x, level + 2.4)], **(bar | {"stroke_width": 0.8})))
    return parts


def _today(asked: AgeingAsked, plot: Plot) -> list[str]:
    x, bottom = plot.at(_years(asked, asked.today), plot.y.low)
    top = plot.box.top
    words = text(label("ageing_figure.today"), (x, top - 1.0), size=3.0, anchor="middle")
    return [line([(x, bottom), (x, top)], stroke=INK, stroke_width=0.2, stroke_dasharray="0.4 1.1"), words]
