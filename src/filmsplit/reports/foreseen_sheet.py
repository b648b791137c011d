"""The sheet foreseen on paper: the image with its ghosts numbered, what they come from, what can be done. One ink."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.figures.drawing import Drawing
from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.typeset import Paper, typeset

WORDS = ("heading", "ghosts", "cures", "chosen", "remarks", "cannot", "invented_numbers")
GHOST_COLUMNS = ("number", "strength", "place", "cause")
CURE_COLUMNS = ("number", "what", "left", "gain", "ink")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForeseenSheet:
    """What the page of one ink shows. Rows are texts, one for each column."""

    press: str = printed("name of the press, with its unit where it has several")
    invented: bool = printed("whether the press exists only on paper")
    job: str = printed("title of the job")
    ink: str = printed("name of the ink")
    drawing: Drawing = printed("the image with its ghosts framed and numbered")
    threshold: str = printed("from which difference on a ghost counts as seen, and whose number that is")
    ghosts: tuple[tuple[str, ...], ...] = printed("ghosts, the strongest first")
    none: str = printed("what to say where no ghost is seen; empty where one is")
    remarks: tuple[str, ...] = printed("fall-off, ripple, first sheets, starved solids, zones that fight")
    cures: tuple[tuple[str, ...], ...] = printed("what helps, the best first; none where nobody asked or nothing does")
    refused: tuple[str, ...] = printed("what cannot be done, with the reason")
    limits: tuple[str, ...] = printed("what the figures leave out")
    code: str = printed("code that leads back to the record; empty where nothing was recorded", default="")


def foreseen_pdf(sheet: ForeseenSheet, *, paper: Paper) -> bytes:
    """The page as a PDF on ``paper``, upright, printed in black."""
    words = {word: label(f"foreseen_sheet.{word}") for word in WORDS}
    words |= {"page": label("setup_sheet.page"), "invented": label("setup_sheet.invented")}
    data = {
        "words": words,
        "title": f"{words['heading']}: {sheet.press}: {sheet.job}",
        "subject": " · ".join(each for each in (sheet.press, sheet.job, sheet.ink, sheet.code) if each),
        "job": sheet.job,
        "press": sheet.press,
        "ink": sheet.ink,
        "invented": sheet.invented,
        "drawing": {
            "svg": sheet.drawing.svg,
            "alt": sheet.drawing.alt,
            "width": sheet.drawing.width_mm,
            "height": sheet.drawing.height_mm,
        },
        "threshold": sheet.threshold,
        "ghost_head": [label(f"foresee.{each}") for each in GHOST_COLUMNS],
        "ghosts": [list(row) for row in sheet.ghosts],
        "none": sheet.none,
        "remarks": list(sheet.remarks),
        "cure_head": [label(f"cure.{each}") for each in CURE_COLUMNS],
        "cures": [list(row) for row in sheet.cures],
        "refused": list(sheet.refused),
        "limits": list(sheet.limits),
    }
    return typeset("foreseen_sheet.typ", data, paper=paper)
