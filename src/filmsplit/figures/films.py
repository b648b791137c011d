"""The train with the ink on it: on every arc a band as thick as its film, and the film in micrometres."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmsplit.figures.boxes import Disc
from filmsplit.figures.drawing import ACCENT, FAINT, INK, PAPER, Drawing, circle, element, finish, group, line, num
from filmsplit.figures.film_bands import Band, Film
from filmsplit.figures.film_layout import Asked, FilmLayout, arrow_inset, lay_out_films, two_figures
from filmsplit.figures.layout import Note
from filmsplit.figures.legend import draw_legend
from filmsplit.figures.lines import draw_rows
from filmsplit.figures.members import draw_cylinder, draw_outline, turn_arrow
from filmsplit.figures.stage import Body
from filmsplit.figures.surroundings import draw_fountain, draw_pan, draw_sheet, fountain_body, pan_bodies
from filmsplit.figures.titles import draw_foot, draw_title, title_of
from filmsplit.messages import label
from filmsplit.press import Press, Roller, Unit

INK_FEED = "ink"
"""What films call the ink feed."""


def draw_films(  # noqa: PLR0913 - each is asked for by name
    press: Press,
    unit: Unit,
    films: Sequence[Film],
    *,
    sheet_um: float | None = None,
    feed: str = INK_FEED,
    paper: str | None = None,
) -> Drawing:
    """Draw ``unit`` to scale with ``films``, mean films on the arcs between contacts; ``sheet_um`` is the sheet's.

    Members without a film are drawn without a band. ``ValueError`` for no films, or one that is not a number or below
    zero; ``Refusal`` where ``paper`` is too small.
    """
    _check(films, sheet_um)
    layout = lay_out_films(press, unit, Asked(films, feed, sheet_um, paper))
    stage = layout.stage
    parts = [group([_draw_band(band) for band in layout.bands], fill=ACCENT, stroke=PAPER, stroke_width=0.2)]
    parts += [group(_cylinders(layout)), group(_around(layout)), group(_rollers(layout))]
    parts.append(group(draw_sheet(stage)[0]))
    parts += _words([*layout.notes, *(note for _, note in layout.numbers)])
    words = label("film_figure.films-view", scale=f"{layout.page.scale:g}")
    parts += draw_title(press, (unit,), layout.page, words=words)
    parts.append(group(draw_legend(list(layout.entries), layout.page.legend, layout.page.columns)))
    parts += draw_foot(layout.page, _remarks(layout))
    return finish(
        [part for part in parts if part],
        size_mm=(layout.page.width_mm, layout.page.height_mm),
        title=label("film_figure.films-title", name=title_of(press, (unit,))),
        alt=_alt(press, unit, films, sheet_um=sheet_um),
    )


def _check(films: Sequence[Film], sheet_um: float | None) -> None:
    values = [film.film_um for film in films] + ([] if sheet_um is None else [sheet_um])
    if not films:
        raise ValueError("there are no films to draw")
    if not all(math.isfinite(value) and value >= 0 for value in values):
        raise ValueError("every film must be a number, zero or more")


def _draw_band(band: Band) -> str:
    spots = [*band.inner, *reversed(band.outer)]
    return element("path", d="M" + "L".join(f"{num(x)} {num(y)}" for x, y in spots) + "z")


def _cylinders(layout: FilmLayout) -> list[str]:
    stage = layout.stage
    ids = ("impression", "blanket", "plate")
    return [part for id in ids for part in draw_cylinder(stage.bodies[id], stage, layout.gaps.get(id))]


def _around(layout: FilmLayout) -> list[str]:
    fountain = fountain_body(layout.stage)
    parts = draw_fountain(layout.stage, fountain)[0] if fountain is not None else []
    return parts + [part for body in pan_bodies(layout.stage) for part in draw_pan(layout.stage, body)[0]]


def _rollers(layout: FilmLayout) -> list[str]:
    return [part for body in layout.stage.rollers for part in _roller(body)]


def _roller(body: Body) -> list[str]:
    roller = body.member
    if not isinstance(roller, Roller):
        return []
    return [
        circle(body.x, body.y, body.r, fill=PAPER),
        *draw_outline(Disc(body.x, body.y, body.r), roller.system),
        *turn_arrow(body, arrow_inset(body)),
    ]


def _words(notes: Sequence[Note]) -> list[str]:
    leaders = [line(list(note.leader), stroke=FAINT, stroke_width=0.22) for note in notes if note.leader is not None]
    words = [part for note in notes for part in draw_rows(note.rows, note.box, align=note.align)]
    return [group(leaders), group(words, fill=INK)]


def _remarks(layout: FilmLayout) -> list[str]:
    """What could not be drawn, said in words: nothing is left out in silence."""
    undrawn = layout.stage.undrawn
    remarks = [label("figure.undrawn", ids=", ".join(undrawn))] if undrawn else []
    return [*remarks, label("figure.homeless", words="; ".join(layout.lost))] if layout.lost else remarks


def _alt(press: Press, unit: Unit, films: Sequence[Film], *, sheet_um: float | None) -> str:
    said = [
        label("film_figure.alt-arc", member=film.loop, start=film.start, end=film.end, um=two_figures(film.film_um))
        for film in films
    ]
    words = label("film_figure.films-alt", name=title_of(press, (unit,)), films="; ".join(said))
    return words if sheet_um is None else f"{words} {label('film_figure.alt-sheet', um=two_figures(sheet_um))}"
