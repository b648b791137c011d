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

from filmsplit.actions.kept_work import MOST_OF_A_JOB, keep_work, kept_works, room_of
from filmsplit.actions.shop import Shop
from filmsplit.formats.work_store import KeptFile
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.forms import brought, filled, ours
from filmsplit.web.job_fields import bounded
from filmsplit.web.job_work_fields import WORK, codes_in
from filmsplit.web.pages.job_set import TOLD
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.render import bench_of
from filmsplit.web.work_rows import form_address, jobs_with, size_words, tells

router = APIRouter(include_in_schema=False)
Sent = Annotated[Mapping[str, str], Depends(filled)]
Brought = Annotated[tuple[UploadFile, ...], Depends(brought)]
LOOKING = BoundedSemaphore(2)
"""Files read at once; others wait their turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRow:
    """A kept file: what it tells, the room it takes, how many kept jobs need it, and the form with it."""

    code: str
    name: str
    tells: str
    size: str
    needed: int
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorksPage:
    """Every file that is kept, the largest first, and the ``room`` they take in a line; none where none is kept."""

    template: ClassVar[str] = "job_works.html"
    place: ClassVar[str] = "jobs"

    works: tuple[WorkRow, ...]
    room: str

    @property
    def title(self) -> str:
        return label("web_works.kept")


@router.get("/jobs/files")
def works(request: Request) -> Response:
    """The files that are kept here."""
    bench = bench_of(request)
    kept = sorted(kept_works(bench.shop), key=lambda each: (-each.size_bytes, each.name.casefold()))
    room = room_of(bench.shop)
    sizes = {"size": size_words(room.taken_bytes), "free": size_words(room.free_bytes)}
    words = label("web_take.room", count=room.files, **sizes)
    return bench.show(request, WorksPage(works=tuple(_row(bench.shop, each) for each in kept), room=words))


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


def _row(shop: Shop, kept: KeptFile) -> WorkRow:
    return WorkRow(
        code=kept.code,
        name=kept.name,
        tells=tells(kept),
        size=size_words(kept.size_bytes),
        needed=len(jobs_with(shop, kept.code)),
        form=form_address({}, [kept.code]),
    )
