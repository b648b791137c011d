"""What the examples share: one small train, and a plain picture with axes. Black on white, line kinds not colours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.sax.saxutils import escape

from filmsplit.simulation.network import FluxFeed, FountainFeed, Loop, LoopRole, Network, Nip, Place

DASHES = ("", "7 4", "2 3")
LEFT, TOP, WIDE, HIGH = 70.0, 44.0, 540.0, 240.0
FEW = 10
"""Up to this many points each is shown by itself: between them nothing was computed."""


def chain(count: int, *, plate_mm: float = 60.0, roller_mm: float = 20.0, flux: bool = False) -> Network:
    """Feed, ``count`` rollers in a row (the last is the form roller), plate, blanket, sheet. Invented."""
    names = [f"R{i + 1}" for i in range(count)]
    half, middle = roller_mm / 2, plate_mm / 2
    links = [(a, half, b, 0.0) for a, b in pairwise(names)]
    links += [(names[-1], half, "plate", 0.0), ("plate", middle, "blanket", 0.0)]
    inlet = Place(loop="R1", at_mm=0.0)
    return Network(
        id="chain",
        plate_mm=plate_mm,
        loops=(
            *(Loop(id=name, length_mm=roller_mm) for name in names),
            Loop(id="plate", length_mm=plate_mm, role=LoopRole.PLATE),
            Loop(id="blanket", length_mm=plate_mm, role=LoopRole.BLANKET),
        ),
        nips=tuple(Nip(a=Place(loop=a, at_mm=x), b=Place(loop=b, at_mm=y)) for a, x, b, y in links),
        feeds=(FluxFeed(id="feed", at=inlet) if flux else FountainFeed(id="feed", at=inlet, speed_ratio=1.0),),
        sheet=Place(loop="blanket", at_mm=middle),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Title with unit, and the values that carry a number; the first and last are the ends."""

    title: str
    ticks: tuple[float, ...]

    def part(self, value: float) -> float:
        """Where a value lies between the ends, 0 to 1."""
        return (value - self.ticks[0]) / (self.ticks[-1] - self.ticks[0])


Line = tuple[str, Sequence[tuple[float, float]]]
"""Name and points of a line."""


def picture(title: str, lines: Sequence[Line], *, x: Axis, y: Axis) -> str:
    """Lines over two axes, each with its own dash and named in a key at the lower right."""
    body = [_words(LEFT - 40, 18, title, size=15)]
    for tick in x.ticks:
        place = LEFT + WIDE * x.part(tick)
        body.append(_words(place, TOP + HIGH + 18, f"{tick:g}", anchor="middle"))
        body.append(_stroke([(place, TOP + HIGH), (place, TOP + HIGH + 5)], width=1))
    for tick in y.ticks:
        place = TOP + HIGH * (1 - y.part(tick))
        body.append(_words(LEFT - 10, place + 4, f"{tick:g}", anchor="end"))
        body.append(_stroke([(LEFT - 5, place), (LEFT, place)], width=1))
    body.append(_stroke([(LEFT, TOP), (LEFT, TOP + HIGH), (LEFT + WIDE, TOP + HIGH)], width=1))
    body.append(_words(LEFT + WIDE, TOP + HIGH + 38, x.title, anchor="end"))
    body.append(_words(LEFT - 40, TOP - 8, y.title))
    for number, (name, points) in enumerate(lines):
        dash = DASHES[number]
        body.append(_stroke([_at(p, x, y) for p in points], dash=dash))
        if len(points) <= FEW:
            body += [_dot(*_at(p, x, y)) for p in points]
        if name:
            height = TOP + HIGH - 30 - 20 * number
            body.append(_stroke([(LEFT + WIDE - 170, height), (LEFT + WIDE - 130, height)], dash=dash))
            body.append(_words(LEFT + WIDE - 122, height + 4, name))
    size = 'width="640" height="336" viewBox="0 0 640 336"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size}>'
    return "\n".join([head, '<rect width="640" height="336" fill="#fff"/>', *body, "</svg>", ""])


def _at(point: tuple[float, float], x: Axis, y: Axis) -> tuple[float, float]:
    return LEFT + WIDE * x.part(point[0]), TOP + HIGH * (1 - y.part(point[1]))


def _stroke(points: Sequence[tuple[float, float]], *, width: float = 2.0, dash: str = "") -> str:
    way = " ".join(f"{a:.1f},{b:.1f}" for a, b in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<polyline points="{way}" fill="none" stroke="#000" stroke-width="{width:g}"{dashed}/>'


def _dot(x: float, y: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="#000"/>'


def _words(x: float, y: float, text: str, *, size: int = 12, anchor: str = "start") -> str:
    where = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}"'
    return f'<text {where} font-family="sans-serif">{escape(text)}</text>'
