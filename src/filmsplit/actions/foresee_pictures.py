"""The sheet foreseen as pictures: one file an ink."""

from __future__ import annotations

from pathlib import Path

from filmsplit.actions.draw import picture_problems as problems_of
from filmsplit.actions.draw import write_picture
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen, InkForeseen, printed_density
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.ghosts import GhostFrame, draw_ghosts
from filmsplit.figures.heading import subject_of
from filmsplit.figures.sheet_map import DENSITY, ON_PAPER, Room, draw_sheet_map
from filmsplit.messages import Problem
from filmsplit.studies.job_study import JobStudy


def picture_problems(target: Path, *, over: bool) -> list[Problem]:
    """Why no picture could be written there, known before anything is computed."""
    return list(problems_of(target, over=over))


def write_pictures(found: Foreseen, target: Path, *, over: bool) -> tuple[Path, ...]:
    """One picture an ink: ``target`` for the only one, else ``target`` with ink and pass in its name."""
    several = len(found.answer.inks) > 1
    written = []
    for ink, study in zip(found.answer.inks, found.job.studies, strict=True):
        path = target.with_stem(f"{target.stem}-{ink.pass_number}-{ink.unit}-{ink.ink}") if several else target
        write_picture(ghost_drawing(found, ink, study), path, over=over)
        written.append(path)
    return tuple(written)


def write_films(found: Foreseen, target: Path, *, over: bool) -> tuple[Path, ...]:
    """The film over the artwork, one picture an ink, named as those of ghosts."""
    several = len(found.answer.inks) > 1
    written = []
    for place, ink in enumerate(found.answer.inks):
        path = target.with_stem(f"{target.stem}-{ink.pass_number}-{ink.unit}-{ink.ink}") if several else target
        if not ink.settled:
            continue
        write_picture(film_drawing(found, place), path, over=over)
        written.append(path)
    return tuple(written)


def film_drawing(found: Foreseen, place: int, *, room: Room = ON_PAPER) -> Drawing:
    """The film over the artwork of the ink at ``place``."""
    study = found.job.studies[place]
    setting, (rows, columns) = study.setting, _under_sheet(study)
    return draw_sheet_map(
        subject_of(found.job.press, setting.unit),
        found.maps[place].film_um[rows, columns],
        length_mm=setting.sheet.length_mm,
        width_mm=setting.sheet.width_mm,
        coverage=study.zoned.demand.coverage[rows, columns],
        ink=found.answer.inks[place].ink,
        room=room,
    )


def density_drawing(found: Foreseen, place: int, *, room: Room = ON_PAPER) -> Drawing | None:
    """The density over the artwork of the ink at ``place``; ``None`` where the ink's constants are not known."""
    study = found.job.studies[place]
    setting, (rows, columns), curve = study.setting, _under_sheet(study), study.question.curve
    if curve is None:
        return None
    coverage = study.zoned.demand.coverage[rows, columns]
    return draw_sheet_map(
        subject_of(found.job.press, setting.unit),
        printed_density(found.maps[place].film_um[rows, columns], coverage, curve=curve),
        length_mm=setting.sheet.length_mm,
        width_mm=setting.sheet.width_mm,
        coverage=coverage,
        ink=found.answer.inks[place].ink,
        room=room,
        words=DENSITY,
    )


def _under_sheet(study: JobStudy) -> tuple[slice, slice]:
    """Rows and columns of the plate that lie under the sheet."""
    setting, grid = study.setting, study.zoned.train.grid
    first, end = (round(each / grid.across_mm) for each in (setting.sheet.first_mm, setting.sheet.end_mm))
    return slice(0, round(setting.sheet.length_mm / grid.round_mm)), slice(first, end)


def ghost_drawing(found: Foreseen, ink: InkForeseen, study: JobStudy, *, room: Room = ON_PAPER) -> Drawing:
    """The image of one ink with its ghosts framed and numbered."""
    setting, (rows, columns) = study.setting, _under_sheet(study)
    frames = [
        GhostFrame(
            number=each.number,
            lead_mm=each.at.lead_mm,
            tail_mm=each.at.tail_mm,
            operator_mm=each.at.operator_mm,
            gear_mm=each.at.gear_mm,
            strength=each.strength,
        )
        for each in ink.ghosts[:MOST_SHOWN]
    ]
    return draw_ghosts(
        subject_of(found.job.press, setting.unit),
        study.zoned.demand.coverage[rows, columns],
        frames,
        size_mm=(setting.sheet.length_mm, setting.sheet.width_mm),
        ink=ink.ink,
        room=room,
    )
