"""The film on the sheet as lines: across the press with its zones, and from lead edge to tail."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from filmsplit.figures.axes import Axis, Plot, draw_key, length_axis, linear_axis
from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import FAINT, INK, Drawing, finish, line, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.page import MARGIN_MM
from filmsplit.messages import label

_WIDTH_MM, _PLOT_MM, _KEYS_MM, _BETWEEN_MM, _LEFT_MM, _SMALL_MM = 210.0, 46.0, 20.0, 18.0, 13.0, 1.9
_FROM_ZERO = 0.5
"""A film that falls below this part of its largest is drawn from zero; one that hardly varies is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Film (um) at places (mm); not a number where the sheet has no image. ``band`` is low and high film."""

    places_mm: Sequence[float]
    film_um: Sequence[float]
    band: tuple[Sequence[float], Sequence[float]] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Zones:
    """Edges of the ink zones from the operator's side, in the same mm as the profile; films the keys give, if told."""

    edges_mm: Sequence[float]
    films_um: Sequence[float] = ()


def draw_profiles(
    subject: Subject, across: Profile, *, along: Profile | None = None, zones: Zones | None = None, ink: str = ""
) -> Drawing:
    """Film across, with the zones and the films of the keys below it; film along below that.

    ``ValueError`` for a profile without places, of unequal lengths or without one film, and for zones that do not fit.
    """
    panels = panels_of(across, along, zones)
    title = label("film_figure.profiles-title", name=subject.name)
    parts = draw_heading(
        title, ink or label("film_figure.profiles-view"), width_mm=_WIDTH_MM, invented=subject.invented
    )
    if any(profile is not None and profile.band is not None for profile in (across, along)):
        parts += draw_key([], (MARGIN_MM + _LEFT_MM, HEAD_MM + 2.0), ribbon=label("film_figure.ribbon"))
    parts += _across(panels[0], across, zones, numbers_below=not (zones and zones.films_um))
    rest = list(panels[1:])
    if zones is not None and zones.films_um:
        parts += _keys(rest.pop(0), zones)
    if along is not None:
        parts += _draw(rest.pop(0), along)
    low, high = _ends(across)
    alt = label("film_figure.profiles-alt", name=subject.name, low=f"{low:.3g}", high=f"{high:.3g}")
    size = (_WIDTH_MM, panels[-1].box.bottom + 14.0)
    return finish([part for part in parts if part], size_mm=size, title=title, alt=alt)


def panels_of(across: Profile, along: Profile | None, zones: Zones | None) -> list[Plot]:
    """The frames from top to bottom: across, keys where told, along where given."""
    for profile in (across, along):
        if profile is not None:
            _check(profile)
    _check_zones(zones)
    x = _across_axis(across, zones)
    panels = [_panel(x, _film_axis(across, label("film_figure.axis-across")), top=HEAD_MM + 12.0, height=_PLOT_MM)]
    if zones is not None and zones.films_um:
        y = linear_axis(label("film_figure.axis-keys"), 0.0, max(zones.films_um) or 1.0, most=3)
        panels.append(_panel(x, y, top=panels[-1].box.bottom + 12.0, height=_KEYS_MM))
    if along is not None:
        x = length_axis(label("film_figure.axis-from-lead"), min(0.0, *along.places_mm), max(along.places_mm))
        y = _film_axis(along, label("film_figure.axis-along"))
        panels.append(_panel(x, y, top=panels[-1].box.bottom + _BETWEEN_MM, height=_PLOT_MM))
    return panels


def _panel(x: Axis, y: Axis, *, top: float, height: float) -> Plot:
    return Plot(Box(MARGIN_MM + _LEFT_MM, top, _WIDTH_MM - MARGIN_MM - 3.0, top + height), x, y)


def _across_axis(across: Profile, zones: Zones | None) -> Axis:
    places = [*across.places_mm, *(zones.edges_mm if zones is not None else ())]
    return length_axis(label("film_figure.axis-from-operator"), min(0.0, *places), max(places))


def _film_axis(profile: Profile, title: str) -> Axis:
    low, high = _ends(profile)
    if low < _FROM_ZERO * high or high == 0:
        return linear_axis(title, 0.0, high or 1.0, most=5)
    axis = linear_axis(title, low, high, most=5)
    if axis.low <= 0:
        return axis
    return Axis(title=label("film_figure.not-from-zero", title=title), low=axis.low, high=axis.high, ticks=axis.ticks)


def _ends(profile: Profile) -> tuple[float, float]:
    films = [*profile.film_um, *(film for edge in profile.band or () for film in edge)]
    known = [float(film) for film in films if math.isfinite(film)]
    return min(known), max(known)


def _check(profile: Profile) -> None:
    lengths = {len(profile.places_mm), len(profile.film_um), *(len(edge) for edge in profile.band or ())}
    if len(lengths) != 1 or not len(profile.places_mm):
        raise ValueError("a profile needs as many films as places, at least one")
    if not all(math.isfinite(place) for place in profile.places_mm):
        raise ValueError("every place of a profile must be a number")
    if any(math.isinf(film) or film < 0 for film in profile.film_um):
        raise ValueError("a film is zero or more, or not a number where there is no image")
    if not any(math.isfinite(film) for film in profile.film_um):
        raise ValueError("a profile needs a film at one place at least")


def _check_zones(zones: Zones | None) -> None:
    if zones is None:
        return
    if len(zones.edges_mm) < 2 or list(zones.edges_mm) != sorted(zones.edges_mm):
        raise ValueError("zones need two edges or more, in order")
    if zones.films_um and len(zones.films_um) != len(zones.edges_mm) - 1:
        raise ValueError("every zone needs the film of its key, or none")


def _draw(plot: Plot, profile: Profile) -> list[str]:
    ribbon = "" if profile.band is None else plot.ribbon(profile.places_mm, profile.band)
    return [ribbon, *plot.frame(), plot.curve(profile.places_mm, profile.film_um)]


def _across(plot: Plot, across: Profile, zones: Zones | None, *, numbers_below: bool) -> list[str]:
    ribbon = "" if across.band is None else plot.ribbon(across.places_mm, across.band)
    parts = [ribbon, *plot.frame(numbers_below=numbers_below), *_sides(plot)]
    if zones is not None:
        parts += _zone_marks(plot, zones)
    return [*parts, plot.curve(across.places_mm, across.film_um)]


def _sides(plot: Plot) -> list[str]:
    """Which end is which, above the frame at the right (the left has the title of the axis)."""
    words = label("film_figure.sides")
    return [text(words, (plot.box.right, plot.box.top - 2.4), size=2.3, anchor="end")]


def _zone_marks(plot: Plot, zones: Zones) -> list[str]:
    """Fine uprights at the edges, and the zone numbers along the top where they have room."""
    spots = [plot.at(edge, plot.y.low)[0] for edge in zones.edges_mm]
    look = {"stroke": FAINT, "stroke_width": 0.12, "stroke_dasharray": "0.6 0.8"}
    parts = [line([(x, plot.box.top), (x, plot.box.bottom)], **look) for x in spots]
    widest = text_width_mm(str(len(spots) - 1), _SMALL_MM) + 0.6
    every = max(1, math.ceil(widest / max(min(b - a for a, b in pairwise(spots)), 0.05)))
    for number in range(1, len(spots), every):
        middle = (spots[number - 1] + spots[number]) / 2
        parts.append(text(str(number), (middle, plot.box.top + 2.2), size=_SMALL_MM, anchor="middle"))
    return parts


def _keys(plot: Plot, zones: Zones) -> list[str]:
    """What the keys give, zone by zone, as steps."""
    steps: list[tuple[float, float]] = []
    for left, right, film in zip(zones.edges_mm, zones.edges_mm[1:], zones.films_um, strict=False):
        steps += [plot.at(left, film), plot.at(right, film)]
    floor = plot.box.bottom
    closed = [(steps[0][0], floor), *steps, (steps[-1][0], floor)]
    return [*plot.frame(), line(closed, stroke=INK, stroke_width=0.4)]
