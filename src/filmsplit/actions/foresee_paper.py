"""The sheet foreseen on paper, beside the set-up sheets: one page for each ink, in the same folder, by like names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from filmsplit.actions.cure_words import cure_row
from filmsplit.actions.cures import HELPS
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen, InkForeseen
from filmsplit.actions.foresee_pictures import ghost_drawing
from filmsplit.actions.foresee_words import cause_words, place_words, remarks_of, strength_words
from filmsplit.actions.setup_files import Targets, paper_name, write_files
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal, label
from filmsplit.reports.foreseen_sheet import ForeseenSheet, foreseen_pdf

MOST_CURES = 6


def write_paper(found: Foreseen, targets: Targets, *, over: bool, codes: Sequence[str] = ()) -> tuple[Path, ...]:
    """Set-up sheets, key strips and a page of the sheet foreseen for each ink, into the folder ``targets.paper``.

    :class:`Refusal` before anything is written where a file is in the way.
    """
    assert targets.paper is not None
    pages = dict(_pages(found, targets, codes=codes or [""] * len(found.answer.inks)))
    in_the_way = [path for path in pages if path.exists() and not over]
    if in_the_way:
        raise Refusal([Problem("file-in-the-way", {"file": str(path)}) for path in in_the_way])
    written = write_files(found.job, targets, over=over, codes=codes)
    for path, page in pages.items():
        write_file(path, page, over=over)
    return (*written, *pages)


def _pages(found: Foreseen, targets: Targets, *, codes: Sequence[str]) -> Iterator[tuple[Path, bytes]]:
    assert targets.paper is not None
    for place, (unit, code) in enumerate(zip(found.job.answer.units, codes, strict=True)):
        name = paper_name(found.job, unit)
        sheet = foreseen_sheet(found, place, code=code)
        yield targets.paper / f"{name}-foreseen.pdf", foreseen_pdf(sheet, paper=targets.size)


def foreseen_sheet(found: Foreseen, place: int, *, code: str = "") -> ForeseenSheet:
    """The page of the ink at ``place``. Cures are for the job, and stand on the page of its first ink only."""
    ink, study = found.answer.inks[place], found.job.studies[place]
    press, cures = found.job.press, found.answer.cures if place == 0 else None
    unit = label("foreseen_sheet.unit", unit=ink.unit) if len(press.units) > 1 else ""
    return ForeseenSheet(
        press=" ".join(each for each in (press.name or press.id, unit) if each),
        invented=found.answer.invented,
        job=found.answer.title or label("foreseen_sheet.untitled"),
        ink=ink.ink,
        drawing=ghost_drawing(found, ink, study),
        threshold=threshold_words(found),
        ghosts=tuple(_ghosts(ink)),
        none=none_words(ink),
        remarks=(*(note.what for note in ink.notes), *remarks_of(ink)),
        cures=() if cures is None else tuple(cure_row(each) for each in cures.cures if each.gain >= HELPS)[:MOST_CURES],
        refused=() if cures is None else tuple(each.words for each in cures.refused),
        limits=tuple(f"{each.what} {each.so}" for each in found.job.answer.limits),
        code=code,
    )


def threshold_words(found: Foreseen) -> str:
    """From what strength a ghost counts as seen, and whose number that is."""
    key = "foresee.visible_invented" if found.answer.visible_invented else "foresee.visible"
    return label(key, percent=f"{100 * found.answer.visible:g}")


def _ghosts(ink: InkForeseen) -> Iterator[tuple[str, ...]]:
    for ghost in ink.ghosts[:MOST_SHOWN]:
        yield str(ghost.number), strength_words(ghost), place_words(ghost.at), cause_words(ghost)


def none_words(ink: InkForeseen) -> str:
    """What is said where no ghost is seen; empty where one is, or nothing was judged."""
    if ink.ghosts or not ink.settled:
        return ""
    if not ink.areas:
        return label("foresee.no_area")
    strongest = max(abs(each.strongest) for each in ink.areas)
    return label("foresee.no_ghost", count=len(ink.areas), percent=f"{100 * strongest:.1f}")
