"""Layers of the map: films at the rims, the way of ink and water, marks that turn with their rollers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from filmsplit.figures.classes import PATHS, PathKind
from filmsplit.figures.drawing import ACCENT, FAINT, INK, PAPER, circle, element, group, line, num
from filmsplit.figures.film_bands import Band, Film, bands_of, scale_for
from filmsplit.figures.film_layout import entries_of as film_entries
from filmsplit.figures.legend import Entry
from filmsplit.figures.members import ductor_places
from filmsplit.figures.routes import Ride, draw_rides, rides_of
from filmsplit.figures.stage import Body, Stage, gap_angles
from filmsplit.messages import label

INK_FEED = "ink"
"""What films call the ink feed."""
_WIDEST_MM = 3.2
"""The line of a form roller that gave all the ink by itself."""
_SPOKES_DEG = (0.0, 120.0, 240.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """What is drawn over the rollers and under their ids, and what it means."""

    draw: Callable[[Stage], list[str]]
    legend: tuple[Entry, ...] = ()


NOTHING = Layer(draw=lambda _stage: [])


@dataclass(frozen=True, slots=True, kw_only=True)
class Spin:
    """How a member turns beside one turn of the plate.

    ``turns`` are for one turn of the plate: all the time where ``cycle_rev`` is 0, else in ``train_part`` of a cycle of
    so many plate turns. ``feed_turns`` are made in the ``feed_part`` a cycle begins with, while touching ``feed``.
    """

    turns: float
    cycle_rev: float = 0.0
    feed_part: float = 0.0
    train_part: float = 0.0
    feed_turns: float = 0.0
    feed: str = ""


def film_layer(films: Sequence[Film]) -> Layer:
    """A band outside every rim, as thick as its film on the scale of the legend."""
    scale = scale_for(film.film_um for film in films)

    def draw(stage: Stage) -> list[str]:
        bands = bands_of(stage, films, scale, feed=INK_FEED, gaps=gap_angles(stage))
        return [group([_band(band) for band in bands], fill=ACCENT, stroke=PAPER, stroke_width=0.2)]

    return Layer(draw=draw, legend=tuple(film_entries(scale)))


def _band(band: Band) -> str:
    spots = [*band.inner, *reversed(band.outer)]
    return element("path", d="M" + "L".join(f"{num(x)} {num(y)}" for x, y in spots) + "z")


def path_layer(shares: Mapping[str, float]) -> Layer:
    """The way of ink and of water; on a form roller the line of the ink is as wide as its share."""

    def draw(stage: Stage) -> list[str]:
        ink = rides_of(stage, PathKind.INK)
        forms = [ride for ride in ink if ride.body.id in shares]
        wide = [_wide(ride, shares[ride.body.id]) for ride in forms]
        return [*wide, *draw_rides(ink, PathKind.INK), *draw_rides(rides_of(stage, PathKind.WATER), PathKind.WATER)]

    return Layer(draw=draw, legend=tuple(_path_entries()))


def _wide(ride: Ride, share: float) -> str:
    spots = [ride.at(k / 24) for k in range(25)]
    return line(spots, stroke=ACCENT, stroke_width=float(_WIDEST_MM * share), stroke_linecap="butt")


def _path_entries() -> Iterable[Entry]:
    for look in PATHS.values():
        stroke = look.stroke
        if stroke is not None:
            yield Entry(label(look.words), _sample(look.colour, width=stroke.width_mm, dashes=stroke.dasharray))
    yield Entry(label("web_map.wide"), _sample(ACCENT, width=_WIDEST_MM / 2, dashes=None))


def _sample(colour: str, *, width: float, dashes: str | None) -> Callable[[float, float], list[str]]:
    cap = "butt" if dashes else None
    look = {"stroke": colour, "stroke_width": float(width), "stroke_dasharray": dashes, "stroke_linecap": cap}
    return lambda x, y: [line([(x - 3.2, y), (x + 3.2, y)], **look)]


def spin_layer(spins: Mapping[str, Spin]) -> Layer:
    """Marks on every member that say by their attributes how they turn; a script may turn them."""
    return Layer(
        draw=lambda stage: [_spin(stage, stage.bodies[id], spin) for id, spin in spins.items() if id in stage.bodies]
    )


def _spin(stage: Stage, body: Body, spin: Spin) -> str:
    marks = [line([body.at(deg, inset=0.14 * body.r), body.at(deg, inset=0.4 * body.r)]) for deg in _SPOKES_DEG]
    x, y = body.at(_SPOKES_DEG[0], inset=0.27 * body.r)
    dot = circle(x, y, min(1.4, 0.14 * body.r), fill=ACCENT, stroke="none")
    return group(
        [*_moving(body, spin), group(marks, stroke=FAINT, stroke_width=0.6), dot],
        class_="spin",
        data_x=float(body.x),
        data_y=float(body.y),
        data_turns=_clockwise(body, spin.turns),
        data_cycle=f"{spin.cycle_rev:g}",
        data_feed=f"{spin.feed_part:.4f}",
        data_train=f"{spin.train_part:.4f}",
        data_feed_turns=_clockwise(body, spin.feed_turns),
        **_swing(stage, body, spin),
    )


def _clockwise(body: Body, turns: float) -> str:
    return f"{-body.sense * turns:.5f}"


def _moving(body: Body, spin: Spin) -> list[str]:
    """What swings over must be seen to leave its place."""
    return [circle(body.x, body.y, body.r, fill=PAPER, stroke=INK, stroke_width=0.5)] if spin.feed else []


def _swing(stage: Stage, body: Body, spin: Spin) -> dict[str, object]:
    places = ductor_places(stage, body) if spin.feed else None
    if places is None:
        return {}
    at = "feed" if places.touches == spin.feed else "train"
    return {"data_dx": float(places.other[0] - body.x), "data_dy": float(places.other[1] - body.y), "data_at": at}
