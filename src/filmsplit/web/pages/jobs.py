"""Jobs: the form in which one is told, and those on record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.jobs import find
from filmsplit.actions.shop import Shop, kept_presses
from filmsplit.messages import Problem, label
from filmsplit.records.jobs import JobRecord
from filmsplit.web.addresses import job_address
from filmsplit.web.job_fields import bounded
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

MOST = 40
"""Jobs listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsPage:
    """The form of a job, with what was filled in and what is wrong with it; ``places`` are where it can be printed."""

    template: ClassVar[str] = "jobs.html"
    place: ClassVar[str] = "jobs"

    places: tuple[tuple[str, str], ...]
    jobs: tuple[tuple[JobRecord, str], ...]
    sent: Mapping[str, str]
    problems: tuple[Problem, ...] = ()

    @property
    def title(self) -> str:
        return label("web.jobs")


@router.get("/jobs")
def jobs(request: Request) -> Response:
    """The form, filled with what its address tells, and the jobs on record."""
    bench = bench_of(request)
    return bench.show(request, jobs_page(bench.shop, bounded(request.query_params)))


def jobs_page(shop: Shop, sent: Mapping[str, str], *, problems: tuple[Problem, ...] = ()) -> JobsPage:
    """The form with what was ``sent`` in it."""
    return JobsPage(
        places=tuple(_places(shop)),
        jobs=tuple((each, job_address(each.code)) for each in find(shop.records, most=MOST)),
        sent=sent,
        problems=problems,
    )


def _places(shop: Shop) -> Iterator[tuple[str, str]]:
    for kept in kept_presses(shop):
        for unit in () if kept.press is None else kept.press.units:
            if kept.press is not None and unit.fountain is not None:
                zones = len(unit.fountain.zone_widths_mm)
                name = kept.press.name or kept.press.id
                yield f"{kept.name}/{unit.id}", label("web_jobs.at", press=name, unit=unit.id, zones=zones)
