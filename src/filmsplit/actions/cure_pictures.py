"""The sheet with the best cure, beside the pictures of the sheet as it is: one file for each print of an ink."""

from __future__ import annotations

from pathlib import Path

from filmsplit.actions.cures import cure_words
from filmsplit.actions.draw import picture_problems, write_picture
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.ghosts import GhostFrame, draw_ghosts
from filmsplit.figures.heading import subject_of
from filmsplit.figures.sheet_map import ON_PAPER, Room
from filmsplit.messages import Problem, label
from filmsplit.press import Press
from filmsplit.simulation.settle import settle
from filmsplit.studies.cures import Tried
from filmsplit.studies.film_setting import FilmSetting, SheetPlace
from filmsplit.studies.ghosts import Ghost, ghost_map

CURED = "cured"
"""At the end of the name of a picture, before its number where there are several."""


def cured_problems(target: Path, *, over: bool) -> list[Problem]:
    """Why the picture with the cure could not be written, known before anything is computed."""
    return list(picture_problems(_named(target, ""), over=over))


def write_cured(found: Foreseen, target: Path, *, over: bool) -> tuple[Path, ...]:
    """Pictures with the best cure; none where nothing helps or nobody asked for cures."""
    best = None if found.cures is None else found.cures.best
    if found.cures is None or best is None:
        return ()
    several, written = len(best.cure.settings) > 1, []
    for number, drawing in enumerate(cured_drawings(found), start=1):
        path = _named(target, f"-{number}" if several else "")
        write_picture(drawing, path, over=over)
        written.append(path)
    return tuple(written)


def cured_drawings(found: Foreseen, *, room: Room = ON_PAPER) -> tuple[Drawing, ...]:
    """The sheet with the best cure, a drawing for each print of an ink; none where nothing helps or nobody asked."""
    best = None if found.cures is None else found.cures.best
    return () if best is None else tuple(_drawing(found, best, setting, room=room) for setting in best.cure.settings)


def _named(target: Path, end: str) -> Path:
    return target.with_stem(f"{target.stem}-{CURED}{end}")


def _drawing(found: Foreseen, best: Tried, setting: FilmSetting, *, room: Room) -> Drawing:
    assert found.cures is not None
    press: Press = best.cure.press or found.job.press
    zoned = found.cures.trial.zoned(setting)
    films_um = found.cures.trial.films_um(zoned)
    solution = settle(zoned.train, zoned.keyed(films_um))
    ghosts = ghost_map(zoned, films_um, solution=solution, visible=found.answer.visible, trials=0).ghosts
    grid, sheet = zoned.train.grid, setting.sheet
    columns = slice(round(sheet.first_mm / grid.across_mm), round(sheet.end_mm / grid.across_mm))
    return draw_ghosts(
        subject_of(press, setting.unit),
        zoned.demand.coverage[: round(sheet.length_mm / grid.round_mm), columns],
        [_frame(each, number, sheet) for number, each in enumerate(ghosts[:MOST_SHOWN], start=1)],
        size_mm=(sheet.length_mm, sheet.width_mm),
        ink=label("cure.drawn", cure=cure_words(best.cure)),
        room=room,
    )


def _frame(ghost: Ghost, number: int, sheet: SheetPlace) -> GhostFrame:
    return GhostFrame(
        number=number,
        lead_mm=ghost.at.lead_mm,
        tail_mm=ghost.at.tail_mm,
        operator_mm=ghost.at.operator_mm - sheet.first_mm,
        gear_mm=ghost.at.gear_mm - sheet.first_mm,
        strength=ghost.strength,
    )
