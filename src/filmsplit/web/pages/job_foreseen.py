"""The sheet of a job before it is printed: film, density and ghosts over the artwork, and what would help."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.cure_pictures import cured_drawings
from filmsplit.actions.cure_words import cure_row
from filmsplit.actions.cures import HELPS, CuresTold
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen, foresee
from filmsplit.actions.foresee_paper import foreseen_sheet, none_words, threshold_words
from filmsplit.actions.foresee_pictures import density_drawing, film_drawing, ghost_drawing
from filmsplit.actions.foresee_words import cause_words, place_words, remarks_of, strength_words
from filmsplit.actions.kept import Kept
from filmsplit.actions.shop import Shop
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.sheet_map import ON_SCREEN
from filmsplit.messages import Refusal, label
from filmsplit.reports.foreseen_sheet import foreseen_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.web.cure_fields import ALLOWED, OTHER, Allowances, allowances_in
from filmsplit.web.forms import from_here
from filmsplit.web.job_fields import asked_in, bounded, place_in, work_in
from filmsplit.web.pages.job_set import TOLD
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False, dependencies=[Depends(from_here)])

LAYERS = ("ghost", "film", "density")
YES = "yes"
MOST_KEPT = 3
"""Jobs whose sheets are kept in memory; a large one takes a hundred megabytes and more."""
MOST_AT_ONCE = 2

Choices = tuple[tuple[str, str, bool], ...]
"""Words, address, and whether it is the one that is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuresShown:
    """Cures by trial: each a row of its table, those that cannot be done, pictures of the sheet with the best."""

    heading: str
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    refused: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForeseenPage:
    """One ink of the sheet with one layer over it. ``picture`` is empty where ``instead`` says why there is none;
    ``told`` are the fields that tell the job, ``may`` what may be done about ghosts."""

    template: ClassVar[str] = "job_foreseen.html"
    place: ClassVar[str] = "jobs"

    job: str
    press: str
    invented: bool
    threshold: str
    inks: Choices
    layers: Choices
    layer: str
    picture: str
    before: str
    instead: str
    ghosts: tuple[tuple[str, ...], ...]
    none: str
    remarks: tuple[str, ...]
    cures: CuresShown | None
    may: Allowances
    told: Mapping[str, str]
    back: str
    paper: str

    @property
    def title(self) -> str:
        return label("web_foreseen.title", job=self.job or label("web_set.untitled"))


class _Sheets:
    """Sheets foreseen, each computed once, no more than so many at a time."""

    def __init__(self) -> None:
        self._kept: Kept[Foreseen] = Kept(most=MOST_KEPT)
        self._room = threading.BoundedSemaphore(MOST_AT_ONCE)

    def get(self, shop: Shop, sent: Mapping[str, str], *, cures: bool) -> Foreseen:
        """The sheet of a job; anew where its press or the records have changed. :class:`Refusal` as :func:`foresee`."""
        kept, unit = place_in(shop, sent)
        times = tuple(path.stat().st_mtime_ns if path.exists() else 0 for path in (kept.path, shop.records))
        work, asked = work_in(sent, shop=shop), asked_in(sent, unit=unit)
        told = allowances_in(sent, shop)

        def make() -> Foreseen:
            with self._room:
                return foresee(
                    str(kept.path),
                    work,
                    asked,
                    visible=told.visible,
                    records=shop.records,
                    allowed=told.allowed if cures else None,
                )

        key = (str(kept.path), times, tuple(sorted(sent.items())))
        with_cures = self._kept.ready((*key, True))
        return with_cures if with_cures is not None else self._kept.get((*key, cures), make)


SHEETS = _Sheets()


@router.get("/jobs/foreseen")
def foreseen_page(request: Request, *, ink: int = 0, layer: str = LAYERS[0], cures: str = "") -> Response:
    """The sheet of the job of the address. Nothing is recorded; what cannot be set goes back to the form."""
    bench, sent = bench_of(request), _sent(request)
    try:
        found = SHEETS.get(bench.shop, sent, cures=cures == YES)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    asked = _Asked(
        sent=sent,
        ink=min(max(ink, 0), len(found.answer.inks) - 1),
        layer=layer if layer in LAYERS else LAYERS[0],
        cures=cures == YES,
    )
    return bench.show(request, _page(found, asked, allowances_in(sent, bench.shop)))


@router.get("/jobs/foreseen/sheet.pdf")
def foreseen_paper(request: Request, *, ink: int = 0, cures: str = "") -> Response:
    """The sheet foreseen on paper."""
    found = SHEETS.get(bench_of(request).shop, _sent(request), cures=cures == YES)
    sheet = foreseen_sheet(found, min(max(ink, 0), len(found.answer.inks) - 1))
    return Response(foreseen_pdf(sheet, paper=Paper.A4), media_type="application/pdf")


def _sent(request: Request) -> dict[str, str]:
    told = bounded(request.query_params)
    told |= {name: " ".join(request.query_params.getlist(name))[:200] for name in ("may", OTHER)}
    return {name: told[name] for name in (*TOLD, *ALLOWED) if told.get(name)}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What of the sheet is looked at."""

    sent: Mapping[str, str]
    ink: int
    layer: str
    cures: bool

    def address(self, path: str = "/jobs/foreseen", **other: object) -> str:
        """Where the same is looked at with something ``other``."""
        shown: dict[str, object] = {"ink": self.ink, "layer": self.layer, "cures": YES if self.cures else ""} | other
        return f"{path}?{urlencode({**self.sent, **{name: value for name, value in shown.items() if value != ''}})}"


def _page(found: Foreseen, asked: _Asked, may: Allowances) -> ForeseenPage:
    answer, ink = found.answer, found.answer.inks[asked.ink]
    drawing, ghosts = _drawing(found, asked), _ghosts_of(found, asked)
    instead = "" if drawing else label("web_foreseen.unsettled" if not ink.settled else "web_foreseen.no_density")
    return ForeseenPage(
        job=answer.title,
        press=found.job.press.name or answer.press,
        invented=answer.invented,
        threshold=threshold_words(found),
        inks=tuple(
            (label("web_foreseen.ink", ink=each.ink, unit=each.unit), asked.address(ink=number), number == asked.ink)
            for number, each in enumerate(answer.inks)
        ),
        layers=tuple(
            (label(f"web_foreseen.{each}"), asked.address(layer=each), each == asked.layer) for each in LAYERS
        ),
        layer=asked.layer,
        picture=drawing.svg if drawing is not None else "",
        before=ghosts.svg if asked.layer != LAYERS[0] or drawing is None else "",
        instead=instead,
        ghosts=tuple(
            (str(each.number), strength_words(each), place_words(each.at), cause_words(each))
            for each in ink.ghosts[:MOST_SHOWN]
        ),
        none=none_words(ink),
        remarks=(*(note.what for note in ink.notes), *remarks_of(ink)),
        cures=None if answer.cures is None else _cures(found, answer.cures),
        may=may,
        told={name: value for name, value in asked.sent.items() if name not in ALLOWED},
        back=asked.address("/jobs/set", ink="", layer="", cures=""),
        paper=asked.address("/jobs/foreseen/sheet.pdf", layer=""),
    )


def _ghosts_of(found: Foreseen, asked: _Asked) -> Drawing:
    return ghost_drawing(found, found.answer.inks[asked.ink], found.job.studies[asked.ink], room=ON_SCREEN)


def _drawing(found: Foreseen, asked: _Asked) -> Drawing | None:
    """The layer asked for; ``None`` where it cannot be shown."""
    if not found.answer.inks[asked.ink].settled:
        return None
    if asked.layer == "film":
        return film_drawing(found, asked.ink, room=ON_SCREEN)
    return density_drawing(found, asked.ink, room=ON_SCREEN) if asked.layer == "density" else _ghosts_of(found, asked)


def _cures(found: Foreseen, told: CuresTold) -> CuresShown:
    helpful = [each for each in told.cures if each.gain >= HELPS]
    worse = len(told.cures) - len(helpful)
    return CuresShown(
        heading=label("cure.heading", percent=f"{100 * told.before:.1f}"),
        rows=tuple(map(cure_row, helpful)),
        notes=tuple(
            words
            for words in (
                "" if helpful else label("cure.none"),
                label("cure.worse", count=worse) if worse else "",
                label("cure.unsettled", count=told.unsettled) if told.unsettled else "",
            )
            if words
        ),
        refused=tuple(each.words for each in told.refused),
        after=tuple(each.svg for each in cured_drawings(found, room=ON_SCREEN)),
    )
