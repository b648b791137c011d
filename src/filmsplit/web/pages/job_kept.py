"""A kept job taken off the list, and a kept file taken away: each asked once, on a page that says what goes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.kept_jobs import drop_job, kept_job
from filmsplit.actions.kept_work import drop_work, kept_work
from filmsplit.messages import label
from filmsplit.web.forms import filled, ours
from filmsplit.web.render import bench_of
from filmsplit.web.work_rows import files_of, jobs_with, size_words, tells

router = APIRouter(include_in_schema=False)
Sent = Annotated[Mapping[str, str], Depends(filled)]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAwayPage:
    """Asked before something goes: what goes and what stays, in a sentence each; ``does`` is on the button."""

    template: ClassVar[str] = "take_away.html"
    place: ClassVar[str] = "jobs"

    title: str
    told: str
    goes: tuple[str, ...]
    stays: tuple[str, ...]
    does: str
    to: str
    code: str
    back: str


@router.get("/jobs/kept/{code}")
def ask_of_job(request: Request, code: str) -> Response:
    """Whether to take this job off the list of those that are kept."""
    bench = bench_of(request)
    job = kept_job(bench.shop, code)
    title, codes = job.title or label("web_set.untitled"), ", ".join(job.codes)
    stays = [label("web_take.job_stays", codes=codes)]
    stays += [label("web_take.file_stays", name=each.name) for each in files_of(bench.shop, job.told).rows]
    page = TakeAwayPage(
        title=label("web_take.job", job=title),
        told=label("web_kept.on", press=job.press, day=job.day, codes=codes),
        goes=(label("web_take.job_goes"),),
        stays=tuple(stays),
        does=label("web_take.job", job=title),
        to="/jobs/kept/remove",
        code=code,
        back="/jobs",
    )
    return bench.show(request, page)


@router.post("/jobs/kept/remove", dependencies=[Depends(ours)])
def remove_job(request: Request, *, sent: Sent) -> Response:
    """Take the job off the list; one that is off already is off."""
    drop_job(bench_of(request).shop, sent.get("code", ""))
    return RedirectResponse("/jobs", 303)


@router.get("/jobs/files/{code}")
def ask_of_file(request: Request, code: str) -> Response:
    """Whether to take this file away, and which kept jobs need it."""
    bench = bench_of(request)
    file = kept_work(bench.shop, code)
    goes = [label("web_take.file_goes", size=size_words(file.size_bytes))]
    for job in jobs_with(bench.shop, file.code):
        goes.append(label("web_take.file_needed", job=job.title or label("web_set.untitled"), day=job.day))
    page = TakeAwayPage(
        title=label("web_works.delete", name=file.name),
        told=tells(file),
        goes=tuple(goes),
        stays=(label("web_take.records_stay"),),
        does=label("web_works.delete", name=file.name),
        to="/jobs/files/delete",
        code=file.code,
        back="/jobs/files",
    )
    return bench.show(request, page)


@router.post("/jobs/files/delete", dependencies=[Depends(ours)])
def delete(request: Request, *, sent: Sent) -> Response:
    """Take a file away for good."""
    drop_work(bench_of(request).shop, sent.get("code", ""))
    return RedirectResponse("/jobs/files", 303)
