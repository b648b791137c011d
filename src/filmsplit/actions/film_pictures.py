"""Pictures of an answer about films: the train with its films, the sheet's map, profiles, start-up."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import numpy as np

from filmsplit.actions.draw import picture_problems, write_picture
from filmsplit.actions.film import Filmed
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.films import draw_films
from filmsplit.figures.heading import subject_of
from filmsplit.figures.profiles import Profile, Zones, draw_profiles
from filmsplit.figures.sheet_map import draw_sheet_map
from filmsplit.figures.start_up import Course, draw_start_up
from filmsplit.figures.terminal_chart import profile_in_terminal, start_up_in_terminal
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.press import Press
from filmsplit.simulation.demand import taking
from filmsplit.studies.film_study import FilmStudy


class Picture(Enum):
    """What can be drawn of an answer."""

    FILMS = "films"
    MAP = "map"
    PROFILE = "profile"
    START_UP = "start-up"


def picture_problems_of(targets: Mapping[Picture, Path], *, over: bool) -> list[Problem]:
    """Files that could not be written, told before anything is computed."""
    return [problem for target in targets.values() for problem in picture_problems(target, over=over)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """Files written, and those that would have had nothing to show."""

    files: tuple[Path, ...]
    empty: tuple[Path, ...]


def write_pictures(filmed: Filmed, targets: Mapping[Picture, Path], *, over: bool) -> Written:
    """Draw every unit into the files; with several units each gets a file with its id in the name.

    A unit that did not settle is not drawn, nor is a print where there is none.
    """
    files, empty = [], []
    for kind, target in targets.items():
        for study in filmed.studies:
            path = target if len(filmed.studies) == 1 else _of_unit(target, study.setting.unit.id)
            if _shows(kind, study):
                write_picture(DRAWN[kind](filmed.press, study), path, over=over)
                files.append(path)
            else:
                empty.append(path)
    return Written(files=tuple(files), empty=tuple(empty))


def _shows(kind: Picture, study: FilmStudy) -> bool:
    return study.ok and (kind in (Picture.FILMS, Picture.MAP) or study.prints)


def sketches(study: FilmStudy, *, columns: int, plain: bool) -> Iterator[tuple[str, ...]]:
    """Film across and start-up as lines of text, ``columns`` wide; none where nothing is printed."""
    if study.prints:
        across, _, zones = _profiles(study)
        yield profile_in_terminal(across, columns=columns, plain=plain, zones=zones)
        yield start_up_in_terminal(_course(study), columns=columns, plain=plain)


def _of_unit(target: Path, unit: str) -> Path:
    return target.with_name(f"{target.stem}-{unit}{target.suffix}")


def _films(press: Press, study: FilmStudy) -> Drawing:
    answers = study.solution.answers
    assert answers is not None
    return draw_films(press, study.setting.unit, answers.arcs, sheet_um=answers.sheet_mean_um)


def _map(press: Press, study: FilmStudy) -> Drawing:
    film, cover = _on_sheet(study)
    length_mm, width_mm = film.shape[0] * study.grid.round_mm, film.shape[1] * study.grid.across_mm
    subject = subject_of(press, study.setting.unit)
    return draw_sheet_map(subject, film, length_mm=length_mm, width_mm=width_mm, coverage=cover)


def _profile(press: Press, study: FilmStudy) -> Drawing:
    across, along, zones = _profiles(study)
    return draw_profiles(subject_of(press, study.setting.unit), across, along=along, zones=zones)


def _profiles(study: FilmStudy) -> tuple[Profile, Profile, Zones]:
    """Means over the image of each column and each row, from the sheet's corner at the operator's side; the zones."""
    film, cover = _on_sheet(study)
    grid, setting = study.grid, study.setting
    rows, columns = film.shape
    across = Profile(places_mm=_middles(columns, grid.across_mm), film_um=_means(film, cover, axis=0))
    along = Profile(places_mm=_middles(rows, grid.round_mm), film_um=_means(film, cover, axis=1))
    first_mm = float(grid.columns_within(study.demand.sheet_across_mm)[0] * grid.across_mm)
    edges = np.clip(np.array(setting.zone_edges_mm) - first_mm, 0.0, columns * grid.across_mm)
    on = np.diff(edges) > 0
    keys = np.broadcast_to(0.0 if study.keyed.films_um is None else study.keyed.films_um, on.shape)[on]
    zones = Zones(edges_mm=tuple(map(float, np.unique(edges))), films_um=tuple(map(float, keys)))
    return across, along, zones


def _on_sheet(study: FilmStudy) -> tuple[Array, Array]:
    """Film and coverage of the cells on which the sheet lies."""
    answers = study.solution.answers
    assert answers is not None
    on = taking(study.train, study.demand) > 0
    rows, columns = np.flatnonzero(on.any(axis=1)), np.flatnonzero(on.any(axis=0))
    part = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return answers.sheet_um[part], study.demand.coverage[part]


def _middles(cells: int, cell_mm: float) -> tuple[float, ...]:
    return tuple(float(place) for place in (np.arange(cells) + 0.5) * cell_mm)


def _means(film: Array, cover: Array, *, axis: int) -> tuple[float, ...]:
    """Means over the image; not a number where there is none."""
    ink, weight = (film * cover).sum(axis=axis), cover.sum(axis=axis)
    return tuple(map(float, np.divide(ink, weight, out=np.full(ink.shape, np.nan), where=weight > 0)))


def _start_up(press: Press, study: FilmStudy) -> Drawing:
    return draw_start_up(subject_of(press, study.setting.unit), [_course(study)])


def _course(study: FilmStudy) -> Course:
    found = study.response
    assert found is not None
    return Course(
        name="",
        sheets_um=tuple(map(float, found.sheets_um)),
        settled_um=found.settled_um,
        sheets_63=found.sheets_63,
        sheets_95=found.sheets_95,
    )


DRAWN: Mapping[Picture, Callable[[Press, FilmStudy], Drawing]] = {
    Picture.FILMS: _films,
    Picture.MAP: _map,
    Picture.PROFILE: _profile,
    Picture.START_UP: _start_up,
}
"""How each picture is drawn."""
