"""The sheet foreseen as pictures: one file an ink."""

from __future__ import annotations

from pathlib import Path

from filmsplit.actions.draw import picture_problems as problems_of
from filmsplit.actions.draw import write_picture
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen, InkForeseen
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.ghosts import GhostFrame, draw_ghosts
from filmsplit.figures.heading import subject_of
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
        write_picture(_drawing(found, ink, study), path, over=over)
        written.append(path)
    return tuple(written)


def _drawing(found: Foreseen, ink: InkForeseen, study: JobStudy) -> Drawing:
    setting, grid = study.setting, study.zoned.train.grid
    rows = round(setting.sheet.length_mm / grid.round_mm)
    columns = slice(round(setting.sheet.first_mm / grid.across_mm), round(setting.sheet.end_mm / grid.across_mm))
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
        study.zoned.demand.coverage[:rows, columns],
        frames,
        size_mm=(setting.sheet.length_mm, setting.sheet.width_mm),
        ink=ink.ink,
    )
