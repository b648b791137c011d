"""Fountain solution: what was sampled, the verdict, and more put on record."""

from __future__ import annotations

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.solution import Telling, put_sample, put_titration, solution_of
from filmsplit.condition.titration import Dosed
from filmsplit.web.api.answering import REFUSALS, answer
from filmsplit.web.api.presses import usable
from filmsplit.web.api.rollers import Key
from filmsplit.web.api.said_solution import (
    LineAnswer,
    SampleAnswer,
    SampleTold,
    SolutionAnswer,
    TitrationTold,
    line_said,
    sample_of,
    sample_said,
    solution_said,
)
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of

router = APIRouter(prefix="/api/presses/{name}/solution", tags=["solution"], responses=REFUSALS)


@router.get("", response_model=SolutionAnswer, summary="The fountain solution of a press")
def solution(request: Request, name: str) -> Response:
    """How far it has risen over its fresh batch, what to do, and every sample."""
    shop = bench_of(request).shop
    _, press = usable(shop, name)
    return answer(solution_said(solution_of(press, book=book_of(shop))))


@router.post("", response_model=SampleAnswer, dependencies=[Depends(ours)], summary="Put a sample on record")
def sample(request: Request, name: str, *, told: SampleTold, key: Key) -> Response:
    """Send it again with the same key when no answer came: it is recorded once. A likely slip needs ``sure``."""
    shop = bench_of(request).shop
    _, press = usable(shop, name)
    book = book_of(shop)
    meant = sample_of(told, press=press.id, day=book.day, person=person_of(request, told.person))
    done = put_sample(press, meant, book=book, telling=Telling(sure=told.sure, key=key))
    return answer(SampleAnswer(sample=sample_said(done)))


@router.post(
    "/titration", response_model=LineAnswer, dependencies=[Depends(ours)], summary="Put a titration line on record"
)
def titration(request: Request, name: str, *, told: TitrationTold, key: Key) -> Response:
    """All readings or none. The line is given back, straight or not."""
    shop = bench_of(request).shop
    _, press = usable(shop, name)
    readings = [Dosed(dose_percent=each.dose_percent, us_per_cm=each.conductivity_us_per_cm) for each in told.readings]
    person = person_of(request, told.person)
    line = put_titration(press, readings, book=book_of(shop), person=person, telling=Telling(key=key))
    return answer(LineAnswer(line=line_said(line)))
