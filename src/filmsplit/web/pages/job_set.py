"""A job that is set: keys, sweep, start, what cannot be reached, and its paper. The address tells the job whole."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from filmsplit.actions.kept_jobs import codes_now, keep_job
from filmsplit.actions.setting_apart import Order
from filmsplit.actions.setup import Set
from filmsplit.actions.setup_paper import sheet_of, strip_of
from filmsplit.actions.shop import Shop, changed_at
from filmsplit.messages import Refusal, label
from filmsplit.reports.key_strip import key_strip_pdf
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.studies.job_answer import SetUnit
from filmsplit.web.forms import filled, from_here, ours
from filmsplit.web.job_fields import asked_in, bounded, place_in, work_in
from filmsplit.web.job_work_fields import OF_FILES, WORK, codes_in
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.pages.rounds import new_key
from filmsplit.web.render import bench_of
from filmsplit.web.set_desk import DESK, OnDesk
from filmsplit.web.set_sections import Section, as_set, sections_of

router = APIRouter(include_in_schema=False)

TOLD = ("where", WORK, *OF_FILES, "coverage", "title", "ink", "stock", "run", "aim", "density", "saturation", "rate")
"""The fields that tell a job; an address holds no others."""
INK = "of"
"""Which ink, from 1: for its paper, and for the log."""
STOOD = ("keys", "sweep", "remarks")
"""Where keys and sweep came to stand, and what else was moved: filled in where the job is logged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPage:
    """A job set, ink by ink; ``sent`` goes on into the form in which ink ``number`` is logged, ``told`` into the one by
    which the job is kept; ``codes`` are those it is kept under, as it is set now."""

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
    told: tuple[tuple[str, str], ...]
    codes: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        return label("web_set.title", job=self.job or label("web_set.untitled"))


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitPage:
    """What is done now for the job of the address, which ``told`` tells."""

    template: ClassVar[str] = "job_wait.html"
    place: ClassVar[str] = "jobs"

    job: str
    stage: str
    query: str
    told: tuple[tuple[str, str], ...]

    @property
    def title(self) -> str:
        return label("web_wait.title", job=self.job or label("web_set.untitled"))


@router.get("/jobs/set", dependencies=[Depends(from_here)])
def set_page(request: Request) -> Response:
    """The job of the address, set. Nothing is recorded; what cannot be set goes back to the form."""
    bench, sent = bench_of(request), _sent(request)
    try:
        found = found_in(bench.shop, sent)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    if isinstance(found, OnDesk):
        told = tuple(sent.items())
        waits = WaitPage(job=sent.get("title", ""), stage=found.stage, query=urlencode(sent), told=told)
        return bench.show(request, waits)
    codes = codes_now(bench.shop, found, told=sent)
    page = _page(found, sent, number=_number(request, found), stood=_told(request, STOOD))
    return bench.show(request, replace(page, codes=codes))


@router.post("/jobs/set/keep", dependencies=[Depends(ours)])
def keep(request: Request, *, given: Annotated[Mapping[str, str], Depends(filled)]) -> Response:
    """Put the plan of the job on record, once however often the form is sent, and show the job again."""
    shop, sent = bench_of(request).shop, _of_form(given)
    found = found_in(shop, sent)
    if not isinstance(found, OnDesk):
        before = ordered(shop, sent)[0]
        keep_job(shop, found, told=sent, key=given.get("key", ""))
        DESK.take_over(before, ordered(shop, sent)[0])  # a plan on record changes no key
    return RedirectResponse(f"/jobs/set?{urlencode(sent)}", 303)


@router.get("/jobs/set/stage")
def stage(request: Request) -> Response:
    """What is done now for the job of the address, as JSON for the page on which somebody waits. Begins nothing."""
    bench = bench_of(request)
    job = DESK.on(ordered(bench.shop, _sent(request))[0])
    if job is None or job.over.is_set():
        return JSONResponse({"over": True, "words": ""})
    return JSONResponse({"over": False, "words": job.stage})


@router.post("/jobs/set/cancel", dependencies=[Depends(ours)])
def cancel(request: Request, *, given: Annotated[Mapping[str, str], Depends(filled)]) -> Response:
    """Call the job off and go back to its form."""
    bench, sent = bench_of(request), _of_form(given)
    DESK.call_off(ordered(bench.shop, sent)[0])
    return RedirectResponse(f"/jobs?{urlencode(sent)}", 303)


@router.get("/jobs/set/sheet.pdf", dependencies=[Depends(from_here)])
def set_paper(request: Request) -> Response:
    """The set-up sheet of an ink of the job of the address, to print."""
    return _paper(request, lambda found, unit, code: setup_pdf(sheet_of(found, unit, code=code), paper=Paper.A4))


@router.get("/jobs/set/keys.pdf", dependencies=[Depends(from_here)])
def key_paper(request: Request) -> Response:
    """The key strip of an ink of the job of the address, to print and lay along the fountain."""
    return _paper(request, lambda found, unit, code: key_strip_pdf(strip_of(found, unit, code=code), paper=Paper.A4))


def _paper(request: Request, made: Callable[[Set, SetUnit, str], bytes]) -> Response:
    """With its code where the job is kept; where it is not set yet, its page, on which it is waited for."""
    shop, sent = bench_of(request).shop, _sent(request)
    found = found_in(shop, sent)
    if isinstance(found, OnDesk):
        return RedirectResponse(f"/jobs/set?{urlencode(sent)}", 303)
    number, codes = _number(request, found), codes_now(shop, found, told=sent)
    data = made(found, found.answer.units[number - 1], codes[number - 1] if codes else "")
    return Response(data, media_type="application/pdf")


def found_in(shop: Shop, sent: Mapping[str, str]) -> Set | OnDesk:
    """The job that ``sent`` tells: set at once where it is typed, on the desk where files are read for it.

    :class:`Refusal` where it cannot be set.
    """
    key, order = ordered(shop, sent)
    if not codes_in(sent):
        return DESK.quick(key, order)
    job = DESK.asked(key, order)
    if job.problems:
        DESK.call_off(key)
        raise Refusal(job.problems)
    return job.found or job


def found_now(shop: Shop, sent: Mapping[str, str]) -> Set:
    """The same, however long it takes; at once where it is on the desk already. :class:`Refusal` likewise."""
    key, order = ordered(shop, sent)
    job = DESK.on(key)
    return DESK.quick(key, order) if job is None or job.found is None else job.found


def ordered(shop: Shop, sent: Mapping[str, str]) -> tuple[Hashable, Order]:
    """What is to be set, and the key of its result: all that it depends on. :class:`Refusal` where it is not told."""
    kept, unit = place_in(shop, sent)
    work, asked = work_in(sent, shop=shop), asked_in(sent, unit=unit)
    order = Order(press=str(kept.path), work=work, asked=asked, records=shop.records)
    told = tuple((name, sent[name]) for name in TOLD if sent.get(name))
    return (str(kept.path), changed_at(shop, kept.path), work.what, told), order


def _of_form(given: Mapping[str, str]) -> dict[str, str]:
    told = bounded(given)
    return {name: told[name] for name in TOLD if told.get(name)}


def _number(request: Request, found: Set) -> int:
    """The ink asked for; the first where none of them is."""
    known = {str(number): number for number in range(1, len(found.answer.units) + 1)}
    return known.get(request.query_params.get(INK, ""), 1)


def _sent(request: Request) -> dict[str, str]:
    return _told(request, TOLD)


def _told(request: Request, names: tuple[str, ...]) -> dict[str, str]:
    told = bounded(request.query_params)
    return {name: told[name] for name in names if told.get(name)}


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
        told=tuple(sent.items()),
    )
