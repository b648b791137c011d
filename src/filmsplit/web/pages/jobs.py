"""Jobs: the form in which one is told, and those on record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.jobs import find
from filmsplit.actions.kept_jobs import kept_jobs
from filmsplit.actions.shop import Shop, kept_presses
from filmsplit.formats.kept_jobs_file import KeptJob
from filmsplit.messages import Problem, label
from filmsplit.records.jobs import JobRecord
from filmsplit.web.addresses import job_address
from filmsplit.web.job_fields import bounded
from filmsplit.web.render import bench_of
from filmsplit.web.work_rows import JobFiles, files_of

router = APIRouter(include_in_schema=False)

MOST = 40
"""Jobs listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsPage:
    """The form of a job, with what was filled in and what is wrong with it; ``places`` are where it can be printed,
    ``carried`` what goes along while a file is brought."""

    template: ClassVar[str] = "jobs.html"
    place: ClassVar[str] = "jobs"

    places: tuple[tuple[str, str], ...]
    jobs: tuple[tuple[JobRecord, str], ...]
    sent: Mapping[str, str]
    kept: tuple[tuple[KeptJob, str], ...] = ()
    files: JobFiles = field(default_factory=JobFiles)
    carried: tuple[tuple[str, str], ...] = ()
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
    """The form with what was ``sent`` in it; a job of files has the title of the first until it is named."""
    files = files_of(shop, sent)
    title = sent.get("title") or files.title
    return JobsPage(
        places=tuple(_places(shop)),
        jobs=tuple((each, job_address(each.code)) for each in find(shop.records, most=MOST)),
        kept=tuple((each, f"/jobs/set?{urlencode(dict(each.told))}") for each in kept_jobs(shop)[:MOST]),
        sent={**sent, "title": title},
        files=files,
        carried=tuple((name, text) for name, text in sent.items() if text),
        problems=problems,
    )


def _places(shop: Shop) -> Iterator[tuple[str, str]]:
    """Every unit with a fountain; and a press of several with all of them, the inks in turn."""
    for kept in kept_presses(shop):
        if kept.press is None:
            continue
        name = kept.press.name or kept.press.id
        fountains = [(unit.id, unit.fountain) for unit in kept.press.units if unit.fountain is not None]
        for id, fountain in fountains:
            zones = len(fountain.zone_widths_mm)
            yield f"{kept.name}/{id}", label("web_jobs.at", press=name, unit=id, zones=zones)
        if len(fountains) > 1:
            units = ", ".join(id for id, _ in fountains)
            yield f"{kept.name}/", label("web_works.all_units", press=name, units=units)
