"""The main job on the demo workshop."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from filmsplit.actions.demo_works import Progress, WorkWritten, write_works
from filmsplit.actions.draw import write_drawing, write_picture
from filmsplit.actions.film import Filmed, ask_films
from filmsplit.actions.film_pictures import Picture, write_pictures
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.marks import MatchedMarks, match
from filmsplit.actions.plate_pictures import draw_work_plate, picture_file
from filmsplit.actions.press import PressShown, show_press
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_files import Targets, write_files
from filmsplit.actions.work import WorkAsked
from filmsplit.formats.replace_file import write_file
from filmsplit.library.works import DEMO_JOB
from filmsplit.library.workshop import Workshop, demo_path, demo_workshop
from filmsplit.studies.film_question import FilmQuestion

DEMO_MARKS_MM = (12.0, 181.7, 351.3)
"""A striped sheet: invented, as read off with a ruler."""

DEMO_INK = "process-black"
"""The ink of the demo job."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """What the demo made: the first press of the workshop shown and drawn, its ink films, a striped sheet explained;
    works as plate files, and the demo job set."""

    workshop: Workshop
    shown: PressShown
    matched: MatchedMarks
    filmed: Filmed
    works: tuple[WorkWritten, ...]
    job: Set
    files: tuple[Path, ...]


def run_demo(folder: Path, *, gigapixel: bool = False, progress: Progress | None = None) -> Demo:
    """Show, draw and question the first press of the demo workshop, and draw works for all of them; files go to
    ``folder``, written over. The very large work only with ``gigapixel``.
    """
    workshop = demo_workshop()
    name = workshop.presses[0]
    shown = show_press(name)
    picture, wall, copy = folder / f"{name}.png", folder / f"{name}.svg", folder / f"{name}.yaml"
    write_drawing(shown.press, picture, over=True)
    write_drawing(shown.press, wall, over=True)
    write_file(copy, demo_path(name).read_bytes(), over=True)
    matched = match(name, DEMO_MARKS_MM)
    filmed = ask_films(name, FilmQuestion(), ink=DEMO_INK)
    pictures = {kind: folder / f"{name}-{kind.value}.svg" for kind in Picture}
    films = write_pictures(filmed, pictures, over=True).files
    works = write_works(folder / "works", gigapixel=gigapixel, progress=progress)
    job = set_demo_job(works)
    paper = write_files(job, Targets(paper=folder / "job"), over=True)
    lies = _draw_demo_job(works)
    return Demo(
        workshop=workshop,
        shown=shown,
        matched=matched,
        filmed=filmed,
        works=works,
        job=job,
        files=(picture, wall, copy, *films, lies, *paper),
    )


def set_demo_job(works: tuple[WorkWritten, ...]) -> Set:
    """The demo job on its press, as `filmsplit setup` sets it; no records are looked at."""
    written = next(each for each in works if each.work.slug == DEMO_JOB)
    work = written.work
    placement, sheet = work.placement, work.placement.sheet
    assert sheet is not None
    asked = WorkAsked(
        what=tuple(map(str, written.files)),
        sheet_mm=(sheet.length_mm, sheet.width_mm),
        gripper_mm=sheet.gripper_mm,
        lead_mm=placement.lead_mm,
        side_mm=placement.side_mm,
        style=placement.style,
        inks=tuple(plate.ink for plate in work.plates),
    )
    return set_job(work.press, asked, JobAsked(title=work.title, stock=work.stock, run=work.run))


def _draw_demo_job(works: tuple[WorkWritten, ...]) -> Path:
    """What lies where on the plate of the demo job."""
    job = next(written for written in works if written.work.slug == DEMO_JOB)
    target = picture_file(job.files[0])
    write_picture(draw_work_plate(job, 0), target, over=True)
    return target
