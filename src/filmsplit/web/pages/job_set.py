"""A job that is set: keys, sweep, start, what cannot be reached, and its paper. The address tells the job whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_paper import sheet_of
from filmsplit.actions.shop import Shop
from filmsplit.messages import Refusal, label
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.reports.typeset import Paper
from filmsplit.studies.job_answer import SetKey
from filmsplit.web.job_fields import asked_in, bounded, place_in, work_in
from filmsplit.web.job_work_fields import PLACE, WORK
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.pages.rounds import new_key
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

TOLD = ("where", WORK, *PLACE, "coverage", "title", "ink", "stock", "run", "aim", "density", "saturation", "rate")
"""The fields that tell a job; an address holds no others."""
STOOD = ("keys", "sweep", "remarks")
"""Where keys and sweep came to stand, and what else was moved: filled in where the job is logged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRow:
    """One zone in the table. Empty where nothing is known or nothing is asked."""

    zone: int
    coverage: str
    key: str
    open: str
    film: str
    density: str
    reached: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPage:
    """One ink on one unit, set; ``sent`` goes on into the form in which it is logged."""

    template: ClassVar[str] = "job_set.html"
    place: ClassVar[str] = "jobs"

    sheet: SetupSheet
    unit: str
    rows: tuple[KeyRow, ...]
    dense: bool
    curve: str
    query: str
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_set.title", job=self.sheet.job or label("web_set.untitled"))


@router.get("/jobs/set")
def set_page(request: Request) -> Response:
    """The job of the address, set. Nothing is recorded; what cannot be set goes back to the form."""
    bench, sent = bench_of(request), _sent(request)
    try:
        found = _set(bench.shop, sent)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    return bench.show(request, _page(found, sent, stood=_told(request, STOOD)))


@router.get("/jobs/set/sheet.pdf")
def set_paper(request: Request) -> Response:
    """The set-up sheet of the job of the address, to print."""
    found = _set(bench_of(request).shop, _sent(request))
    return Response(setup_pdf(sheet_of(found, found.answer.units[0]), paper=Paper.A4), media_type="application/pdf")


def _sent(request: Request) -> dict[str, str]:
    return _told(request, TOLD)


def _told(request: Request, names: tuple[str, ...]) -> dict[str, str]:
    told = bounded(request.query_params)
    return {name: told[name] for name in names if told.get(name)}


def _set(shop: Shop, sent: Mapping[str, str]) -> Set:
    kept, unit = place_in(shop, sent)
    return set_job(str(kept.path), work_in(sent, shop=shop), asked_in(sent, unit=unit), records=shop.records)


def _page(found: Set, sent: dict[str, str], *, stood: dict[str, str]) -> SetPage:
    unit = found.answer.units[0]
    sheet = sheet_of(found, unit)
    curve = found.studies[0].question.curve
    as_set = {
        "set_keys": " ".join(f"{key.reading:.4g}" for key in unit.keys),
        "set_sweep": "" if unit.sweep is None else f"{unit.sweep.reading:.4g}",
        "percents": " ".join(f"{100 * key.coverage:.4g}" for key in unit.keys),
        "aim_density": "" if unit.aim_density is None else f"{unit.aim_density:.2f}",
        "log_saturation": "" if curve is None else f"{curve.saturation:.6f}",
        "log_rate": "" if curve is None else f"{curve.rate:.6f}",
        "length": f"{found.answer.sheet_length_mm:g}",
        "width": f"{found.answer.sheet_width_mm:g}",
    }
    return SetPage(
        sheet=sheet,
        unit=unit.unit,
        rows=tuple(_rows(unit.keys, sheet)),
        dense=any(key.density is not None for key in unit.keys),
        curve="" if sheet.curve is None else sheet.curve.svg,
        query=urlencode(sent),
        sent=sent | as_set | stood,
        key=new_key(),
    )


def _rows(keys: tuple[SetKey, ...], sheet: SetupSheet) -> Iterator[KeyRow]:
    for key, paper in zip(keys, sheet.keys, strict=True):
        asked = "yes" if key.reached else "no"
        yield KeyRow(
            zone=key.zone,
            coverage=f"{100 * key.coverage:.1f}",
            key=paper.reading,
            open=f"{100 * key.opening:.0f}",
            film="" if key.print_um is None else f"{key.print_um:.2f}",
            density="" if key.density is None else f"{key.density:.2f}",
            reached=label(f"web_set.{asked if key.coverage else 'shut'}"),
        )
