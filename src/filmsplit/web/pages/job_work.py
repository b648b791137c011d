"""Files of work: brought to the shop, listed, taken away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from threading import BoundedSemaphore
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.kept_work import MOST_OF_A_JOB, drop_work, keep_work, kept_works
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.forms import brought, filled, ours
from filmsplit.web.job_fields import bounded
from filmsplit.web.job_work_fields import WORK, codes_in
from filmsplit.web.pages.job_set import TOLD
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.render import bench_of
from filmsplit.web.work_rows import form_address, tells

router = APIRouter(include_in_schema=False)
Sent = Annotated[Mapping[str, str], Depends(filled)]
Brought = Annotated[tuple[UploadFile, ...], Depends(brought)]
LOOKING = BoundedSemaphore(2)
"""Files read at once; others wait their turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorksPage:
    """Every file that is kept: name, what was seen in it, its code and the form with it."""

    template: ClassVar[str] = "job_works.html"
    place: ClassVar[str] = "jobs"

    works: tuple[tuple[str, str, str, str], ...]

    @property
    def title(self) -> str:
        return label("web_works.kept")


@router.get("/jobs/files")
def works(request: Request) -> Response:
    """The files that are kept here."""
    bench = bench_of(request)
    rows = ((each.name, tells(each), each.code, form_address({}, [each.code])) for each in kept_works(bench.shop))
    return bench.show(request, WorksPage(works=tuple(sorted(rows, key=lambda row: row[0].casefold()))))


@router.post("/jobs/files", dependencies=[Depends(ours)])
def bring(request: Request, *, sent: Sent, files: Brought) -> Response:
    """Keep each file that came, and go on with the form; say what keeps one out."""
    bench = bench_of(request)
    given = bounded(sent)
    told = {name: given[name] for name in TOLD if given.get(name)}
    codes, problems = [*codes_in(told)], list[Problem]()
    if not files:
        problems.append(Problem("work-none-brought"))
    if len(codes) + len(files) > MOST_OF_A_JOB:
        problems.append(Problem("work-too-many-files", {"most": MOST_OF_A_JOB}))
    for file in () if problems else files:
        try:
            with LOOKING:
                codes.append(keep_work(bench.shop, file.file, name=file.filename or "").code)
        except Refusal as refusal:
            problems += refusal.problems
    codes = list(dict.fromkeys(codes))
    if problems:
        page = jobs_page(bench.shop, told | {WORK: " ".join(codes)}, problems=tuple(problems))
        return bench.show(request, page, status=422)
    return RedirectResponse(form_address(told, codes), 303)


@router.post("/jobs/files/delete", dependencies=[Depends(ours)])
def delete(request: Request, *, sent: Sent) -> Response:
    """Take a file away for good."""
    drop_work(bench_of(request).shop, sent.get("code", ""))
    return RedirectResponse("/jobs/files", 303)
