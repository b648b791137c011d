"""The sheet of a job before it is printed: film, density and ghosts over the artwork, and what would help."""

from __future__ import annotations

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
from filmsplit.actions.desk import Doing
from filmsplit.actions.foresee import MOST_SHOWN, Foreseen, foresee_job, with_cures
from filmsplit.actions.foresee_paper import foreseen_sheet, none_words, threshold_words
from filmsplit.actions.foresee_pictures import density_drawing, film_drawing, ghost_drawing
from filmsplit.actions.foresee_words import cause_words, place_words, remarks_of, strength_words
from filmsplit.actions.foreseen_legend import Layer, Lines, legend_of
from filmsplit.actions.shop import Shop
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.sheet_map import BESIDE, ON_SCREEN, Room
from filmsplit.messages import Refusal, label
from filmsplit.reports.foreseen_sheet import foreseen_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.web.cure_fields import ALLOWED, OTHER, Allowances, allowances_in
from filmsplit.web.desks import SHEETS, soon
from filmsplit.web.forms import from_here
from filmsplit.web.job_fields import bounded, work_in
from filmsplit.web.pages.job_set import INK, TOLD, found_in
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.pages.waiting import Waits, wait_page
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False, dependencies=[Depends(from_here)])

LAYERS = tuple(each.value for each in Layer)
YES = "yes"
Choices = tuple[tuple[str, str, bool], ...]
"""Words, address, and whether it is the one that is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuresShown:
    """Cures by trial: each a row of its table with the address that shows it and whether it is shown; those that cannot
    be done; pictures of the sheet with the one ``chosen``."""

    heading: str
    rows: tuple[tuple[tuple[str, ...], str, bool], ...]
    chosen: str
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
    legend: Lines
    by_zone: bool
    more: int
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


@router.get("/jobs/foreseen")
def foreseen_page(request: Request, *, of: int = 1, layer: str = LAYERS[0], cures: str = "", cure: int = 1) -> Response:
    """The sheet of the job of the address. Nothing is recorded; what cannot be set goes back to the form."""
    bench, sent = bench_of(request), _sent(request)
    try:
        found = sheet_in(bench.shop, sent, cures=cures == YES)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    if isinstance(found, Waiting):
        return wait_page(request, ticket=found.ticket, stage=found.stage, waits=found.waits)
    asked = _Asked(
        sent=sent,
        ink=_place(found, of),
        layer=layer if layer in LAYERS else LAYERS[0],
        cures=cures == YES,
        cure=max(cure, 1),
    )
    by_zone = work_in(sent, shop=bench.shop).is_typed
    return bench.show(request, _page(found, asked, allowances_in(sent, bench.shop), by_zone=by_zone))


@router.get("/jobs/foreseen/sheet.pdf")
def foreseen_paper(request: Request, *, of: int = 1, cures: str = "") -> Response:
    """The sheet foreseen on paper."""
    found = sheet_in(bench_of(request).shop, _sent(request), cures=cures == YES)
    if isinstance(found, Waiting):
        return wait_page(request, ticket=found.ticket, stage=found.stage, waits=found.waits)
    sheet = foreseen_sheet(found, _place(found, of))
    return Response(foreseen_pdf(sheet, paper=Paper.A4), media_type="application/pdf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """What is being done, and what is waited for."""

    ticket: str
    stage: str
    waits: Waits


def sheet_in(shop: Shop, sent: Mapping[str, str], *, cures: bool) -> Foreseen | Waiting:
    """The sheet of a job, with cures or without, or what is being done for it: first the job is set, then its sheet
    foreseen, then cures are tried, each kept for whoever asks next. :class:`Refusal` where one cannot be."""
    may, told = allowances_in(sent, shop), {name: sent[name] for name in TOLD if sent.get(name)}
    job = found_in(shop, told)
    ahead = Waits(what="foreseen", of=sent.get("title", ""), back=f"/jobs?{urlencode(told)}")
    if isinstance(job, Doing):
        return Waiting(ticket=job.ticket, stage=job.stage, waits=ahead)
    sheet = soon(
        SHEETS,
        (job, may.visible),
        lambda doing: foresee_job(job, visible=may.visible, telling=doing.tell),
    )
    if isinstance(sheet, Doing):
        return Waiting(ticket=sheet.ticket, stage=sheet.stage, waits=ahead)
    return _with_cures(shop, sent, sheet, may=may) if cures else sheet


def _with_cures(shop: Shop, sent: Mapping[str, str], sheet: Foreseen, *, may: Allowances) -> Foreseen | Waiting:
    work, asked = work_in(sent, shop=shop), tuple(sent.get(name, "") for name in ALLOWED)
    cured = soon(
        SHEETS,
        (sheet.job, asked),
        lambda doing: with_cures(sheet, work, may.allowed, telling=doing.tell),
    )
    if isinstance(cured, Doing):
        back = Waits(what="cures", of=sheet.answer.title, back=f"/jobs/foreseen?{urlencode(sent)}")
        return Waiting(ticket=cured.ticket, stage=cured.stage, waits=back)
    return cured


def _place(found: Foreseen, of: int) -> int:
    """Which of the inks is number ``of``, from 1; the first or the last where there is none."""
    return min(max(of, 1), len(found.answer.inks)) - 1


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
    cure: int = 1

    def address(self, path: str = "/jobs/foreseen", **other: object) -> str:
        """Where the same is looked at with something ``other``."""
        shown: dict[str, object] = {INK: self.ink + 1, "layer": self.layer, "cures": YES if self.cures else ""} | other
        return f"{path}?{urlencode({**self.sent, **{name: value for name, value in shown.items() if value != ''}})}"


def _page(found: Foreseen, asked: _Asked, may: Allowances, *, by_zone: bool) -> ForeseenPage:
    answer, ink = found.answer, found.answer.inks[asked.ink]
    drawing = _drawing(found, asked)
    instead = "" if drawing else label("web_foreseen.unsettled" if not ink.settled else "web_foreseen.no_density")
    return ForeseenPage(
        job=answer.title,
        press=found.job.press.name or answer.press,
        invented=answer.invented,
        threshold=threshold_words(found),
        inks=tuple(
            (label("web_foreseen.ink", ink=each.ink, unit=each.unit), asked.address(of=number + 1), number == asked.ink)
            for number, each in enumerate(answer.inks)
        ),
        layers=tuple(
            (label(f"web_foreseen.{each}"), asked.address(layer=each), each == asked.layer) for each in LAYERS
        ),
        layer=asked.layer,
        picture=drawing.svg if drawing is not None else "",
        before=_ghosts_of(found, asked, BESIDE).svg if asked.cures else "",
        instead=instead,
        legend=legend_of(found, asked.ink, Layer(asked.layer)),
        by_zone=by_zone,
        more=max(len(ink.ghosts) - MOST_SHOWN, 0),
        ghosts=tuple(
            (str(each.number), strength_words(each), place_words(each.at), cause_words(each))
            for each in ink.ghosts[:MOST_SHOWN]
        ),
        none=none_words(ink),
        remarks=(*(note.what for note in ink.notes), *remarks_of(ink)),
        cures=None if answer.cures is None or not asked.cures else _cures(found, answer.cures, asked),
        may=may,
        told={name: value for name, value in asked.sent.items() if name not in ALLOWED},
        back=asked.address("/jobs/set", of="", layer="", cures=""),
        paper=asked.address("/jobs/foreseen/sheet.pdf", layer=""),
    )


def _ghosts_of(found: Foreseen, asked: _Asked, room: Room) -> Drawing:
    return ghost_drawing(found, found.answer.inks[asked.ink], found.job.studies[asked.ink], room=room)


def _drawing(found: Foreseen, asked: _Asked) -> Drawing | None:
    """The layer asked for; ``None`` where it cannot be shown."""
    if not found.answer.inks[asked.ink].settled:
        return None
    if asked.layer == "film":
        return film_drawing(found, asked.ink, room=ON_SCREEN)
    if asked.layer == "density":
        return density_drawing(found, asked.ink, room=ON_SCREEN)
    return _ghosts_of(found, asked, ON_SCREEN)


def _cures(found: Foreseen, told: CuresTold, asked: _Asked) -> CuresShown:
    helpful = [each for each in told.cures if each.gain >= HELPS]
    worse = len(told.cures) - len(helpful)
    chosen = next((each for each in helpful if each.number == asked.cure), None)
    return CuresShown(
        heading=label("cure.heading", percent=f"{100 * told.before:.1f}"),
        rows=tuple((cure_row(each), f"{asked.address(cure=each.number)}#after", each is chosen) for each in helpful),
        chosen="" if chosen is None else chosen.words,
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
        after=tuple(each.svg for each in cured_drawings(found, number=asked.cure, room=BESIDE)),
    )
