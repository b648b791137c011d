"""Jobs: set one, log it as printed, correct it, find it again."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.correct import KIND as CORRECTION
from filmsplit.actions.correct import correct_logged
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.jobs import Told, find, log_once, show
from filmsplit.actions.setup import KIND as SETUP
from filmsplit.actions.setup import set_job
from filmsplit.actions.shop import press_file_of
from filmsplit.actions.work import WorkAsked
from filmsplit.records.jobs import JobRecord
from filmsplit.web.api.answering import REFUSALS, answer, kind_answer
from filmsplit.web.api.presses import usable
from filmsplit.web.api.rollers import Key, Short
from filmsplit.web.api.said_shop import JobAnswer, JobsAnswer
from filmsplit.web.api.told import CorrectTold, JobTold, SetTold
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of

router = APIRouter(prefix="/api/jobs", tags=["jobs"], responses=REFUSALS)

MOST_JOBS = 500
Code = Annotated[str, Path(max_length=40)]
_SENT_APART = frozenset({"press", "keys", "coverage_percent", "densities", "status"})


def _described(name: str) -> dict[int | str, dict[str, Any]]:
    """The answer of an action that has a schema of its own among the components."""
    schema = {"$ref": f"#/components/schemas/{name}"}
    return {200: {"description": "Done", "content": {"application/json": {"schema": schema}}}}


@router.get("", response_model=JobsAnswer, summary="Jobs on record")
def jobs(
    request: Request,
    *,
    press: Short = "",
    words: Short = "",
    most: Annotated[int, Query(ge=1, le=MOST_JOBS)] = 20,
) -> Response:
    """Those that have every word, of the press with this id, the newest first."""
    found = find(bench_of(request).shop.records, press=press, words=words.split(), most=most)
    return answer(JobsAnswer(jobs=found))


@router.post("", response_model=JobAnswer, dependencies=[Depends(ours)], summary="Log a job as it was printed")
def log(request: Request, told: JobTold, *, key: Key) -> Response:
    """Send it again with the same key when no answer came: it is logged once."""
    shop = bench_of(request).shop
    kept, press = usable(shop, told.press)
    plain = {each.name: getattr(told, each.name) for each in fields(told) if each.name not in _SENT_APART}
    job = JobRecord(press=press.id, printed_on=book_of(shop).day, **plain)
    job = replace(job, operator=person_of(request, told.operator))
    read = Told(keys=told.keys, coverage_percent=told.coverage_percent, densities=told.densities, status=told.status)
    return answer(JobAnswer(job=log_once(str(kept.path), job, told=read, records=shop.records, key=key)))


@router.post(
    "/set", response_model=None, responses=_described("Setup"), dependencies=[Depends(ours)], summary="Set a job"
)
def set_one(request: Request, told: SetTold) -> Response:
    """Keys, sweep, start, ink and water for one ink on one unit. Nothing is recorded."""
    shop = bench_of(request).shop
    kept, _ = usable(shop, told.press)
    length_mm, width_mm = told.sheet_length_mm, told.sheet_width_mm
    work = WorkAsked(
        what=tuple(f"{percent:.3f}" for percent in told.coverage_percent),
        only_typed=True,
        sheet_mm=None if length_mm is None or width_mm is None else (length_mm, width_mm),
        inks=(told.ink,) if told.ink else (),
    )
    asked = JobAsked(
        title=told.title,
        stock=told.stock,
        run=told.run,
        unit=told.unit or None,
        aim_um=told.aim_um,
        sweep=told.sweep,
    )
    return kind_answer(SETUP, set_job(str(kept.path), work, asked, records=shop.records).answer)


@router.get("/{code}", response_model=JobAnswer, summary="A job on record")
def job(request: Request, code: Code) -> Response:
    """By the code that stands on its paper."""
    return answer(JobAnswer(job=show(bench_of(request).shop.records, code)))


@router.post(
    "/{code}/correct",
    response_model=None,
    responses=_described("Correction"),
    dependencies=[Depends(ours)],
    summary="What to turn after a measured sheet",
)
def correct(request: Request, code: Code, *, told: CorrectTold) -> Response:
    """Moves of the keys from one measured sheet, and the sheet to look at again. Nothing is recorded."""
    shop = bench_of(request).shop
    logged = show(shop.records, code)
    read = Told(densities=told.densities, status=told.status, sheet=told.sheet)
    return kind_answer(
        CORRECTION, correct_logged(shop.records, code, told=read, press=press_file_of(shop, logged.press))
    )
