"""A job that is set: keys, sweep, start, what cannot be reached, and its paper. The address tells the job whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_paper import sheet_of, strip_of
from filmsplit.actions.shop import Shop
from filmsplit.messages import Refusal, label
from filmsplit.reports.key_strip import key_strip_pdf
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.studies.job_answer import SetUnit
from filmsplit.web.job_fields import asked_in, bounded, place_in, work_in
from filmsplit.web.job_work_fields import PLACE, WORK
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.pages.rounds import new_key
from filmsplit.web.render import bench_of
from filmsplit.web.set_sections import Section, as_set, sections_of

router = APIRouter(include_in_schema=False)

TOLD = ("where", WORK, *PLACE, "coverage", "title", "ink", "stock", "run", "aim", "density", "saturation", "rate")
"""The fields that tell a job; an address holds no others."""
INK = "of"
"""Which ink, from 1: for its paper, and for the log."""
STOOD = ("keys", "sweep", "remarks")
"""Where keys and sweep came to stand, and what else was moved: filled in where the job is logged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPage:
    """A job set, ink by ink; ``sent`` goes on into the form in which ink ``number`` is logged."""

    template: ClassVar[str] = "job_set.html"
    place: ClassVar[str] = "jobs"

    job: str
    press: str
    invented: bool
    sections: tuple[Section, ...]
    number: int
    query: str
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_set.title", job=self.job or label("web_set.untitled"))


@router.get("/jobs/set")
def set_page(request: Request) -> Response:
    """The job of the address, set. Nothing is recorded; what cannot be set goes back to the form."""
    bench, sent = bench_of(request), _sent(request)
    try:
        found = _set(bench.shop, sent)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    return bench.show(request, _page(found, sent, number=_number(request, found), stood=_told(request, STOOD)))


@router.get("/jobs/set/sheet.pdf")
def set_paper(request: Request) -> Response:
    """The set-up sheet of an ink of the job of the address, to print."""
    found, unit = _paper(request)
    return Response(setup_pdf(sheet_of(found, unit), paper=Paper.A4), media_type="application/pdf")


@router.get("/jobs/set/keys.pdf")
def key_paper(request: Request) -> Response:
    """The key strip of an ink of the job of the address, to print and lay along the fountain."""
    found, unit = _paper(request)
    return Response(key_strip_pdf(strip_of(found, unit), paper=Paper.A4), media_type="application/pdf")


def _paper(request: Request) -> tuple[Set, SetUnit]:
    found = _set(bench_of(request).shop, _sent(request))
    return found, found.answer.units[_number(request, found) - 1]


def _number(request: Request, found: Set) -> int:
    """The ink asked for; the first where none of them is."""
    known = {str(number): number for number in range(1, len(found.answer.units) + 1)}
    return known.get(request.query_params.get(INK, ""), 1)


def _sent(request: Request) -> dict[str, str]:
    return _told(request, TOLD)


def _told(request: Request, names: tuple[str, ...]) -> dict[str, str]:
    told = bounded(request.query_params)
    return {name: told[name] for name in names if told.get(name)}


def _set(shop: Shop, sent: Mapping[str, str]) -> Set:
    kept, unit = place_in(shop, sent)
    return set_job(str(kept.path), work_in(sent, shop=shop), asked_in(sent, unit=unit), records=shop.records)


def _page(found: Set, sent: dict[str, str], *, number: int, stood: dict[str, str]) -> SetPage:
    unit = found.answer.units[number - 1]
    press = sent["where"].partition("/")[0]
    named = {"title": found.answer.title, "where": f"{press}/{unit.unit}"}
    return SetPage(
        job=found.answer.title,
        press=found.press.name or found.press.id,
        invented=found.press.invented,
        sections=sections_of(found),
        number=number,
        query=urlencode(sent),
        sent=sent | as_set(found, unit) | named | stood,
        key=new_key(),
    )
