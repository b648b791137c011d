"""Rollers of the register, readings on them, and what to order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Annotated

from fastapi import APIRouter, Depends, Header, Path, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.care import order
from filmsplit.actions.readings import Recorded, Told, record, strike_out
from filmsplit.actions.readings import listed as readings_listed
from filmsplit.actions.register import listed, page
from filmsplit.actions.today import history_in
from filmsplit.condition.orders import Duty
from filmsplit.condition.verdict import judge
from filmsplit.library.roller_limits import care_table
from filmsplit.records.submits import LONGEST_KEY
from filmsplit.web.api.answering import REFUSALS, answer, said
from filmsplit.web.api.said_rollers import (
    EntriesAnswer,
    OrderAnswer,
    RecordedAnswer,
    RecordedSaid,
    RollerAnswer,
    RollersAnswer,
    StruckAnswer,
    entry_said,
    order_said,
    registered_said,
    roller_answer,
)
from filmsplit.web.api.told import At, ReadingsTold, ReadingTold, StrikeTold, where_in
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.render import Bench, bench_of
from filmsplit.web.shop_mode.visitor import person_of

router = APIRouter(prefix="/api", responses=REFUSALS)

Key = Annotated[str, Header(alias="Idempotency-Key", min_length=1, max_length=LONGEST_KEY, pattern=r"^[!-~]+$")]
"""The sender's own name for what is sent: the same sent again under it is not recorded again."""
Mark = Annotated[str, Path(max_length=200)]
Short = Annotated[str, Query(max_length=200)]


@router.get("/rollers", response_model=RollersAnswer, tags=["rollers"], summary="The register")
def rollers(request: Request, press: Short = "") -> Response:
    """Every roller of the register by mark, or those on the press with this id by place."""
    found = listed(book=book_of(bench_of(request).shop), press=press)
    return answer(RollersAnswer(rollers=tuple(map(registered_said, found))))


@router.get("/rollers/{mark}", response_model=RollerAnswer, tags=["rollers"], summary="A roller and its readings")
def roller(request: Request, mark: Mark) -> Response:
    """One roller, by what is stamped at its journal or by the code on its label."""
    shop = bench_of(request).shop
    book = book_of(shop)
    found = page(where_in(shop, At(roller=mark)), book=book)
    history = next((each for each in history_in(book).rollers if each.id == found.roller.mark), None)
    return answer(roller_answer(found, None if history is None else judge(history, care_table(None))))


@router.get("/rollers/{mark}/order", response_model=OrderAnswer, tags=["rollers"], summary="An order for a roller")
def order_of(request: Request, mark: Mark, *, inks: Annotated[list[str], Query()] = [], wash: Short = "") -> Response:  # noqa: B006
    """What a supplier needs to know of it, for the inks and the wash it will meet."""
    shop = bench_of(request).shop
    found = order(where_in(shop, At(roller=mark)), duty=Duty(inks=tuple(inks), wash=wash), book=book_of(shop))
    return answer(order_said(found))


@router.get("/readings", response_model=EntriesAnswer, tags=["readings"], summary="What was read and done")
def readings(request: Request, *, roller: Short = "", kind: Short = "") -> Response:
    """Everything that counts, or that on one roller, or of one kind."""
    shop = bench_of(request).shop
    where = where_in(shop, At(roller=roller))
    found = readings_listed(where, book=book_of(shop), kinds=[kind] if kind else [])
    return answer(EntriesAnswer(entries=tuple(entry_said(each, found.marks) for each in found.entries)))


@router.post(
    "/readings",
    response_model=RecordedAnswer,
    dependencies=[Depends(ours)],
    tags=["readings"],
    summary="Put readings on record",
)
def put_on_record(request: Request, told: ReadingsTold, *, key: Key) -> Response:
    """All of them or none. Send it again with the same key when no answer came: it is recorded once."""
    bench = bench_of(request)
    book = book_of(bench.shop)
    done = record(
        [_told(bench, each, person=person_of(request, each.person)) for each in told.readings], book=book, key=key
    )
    marks = {each.roller.id: each.roller.mark for each in listed(book=book)}  # not by reading all that was ever read
    return answer(RecordedAnswer(recorded=tuple(_recorded(each, marks) for each in done)))


@router.post(
    "/readings/{number}/strike",
    response_model=StruckAnswer,
    dependencies=[Depends(ours)],
    tags=["readings"],
    summary="Strike an entry out",
)
def strike(request: Request, number: Annotated[int, Path(ge=1, le=2**62)], *, told: StrikeTold) -> Response:
    """It stays on record with the reason, and counts no longer."""
    strike_out(number, reason=told.reason, book=book_of(bench_of(request).shop))
    return answer(StruckAnswer(number=number))


_AS_TOLD = tuple(each.name for each in fields(ReadingTold) if each.name not in ("at", "along", "person"))


def _told(bench: Bench, reading: ReadingTold, *, person: str) -> Told:
    where = where_in(bench.shop, reading.at)
    return Told(where=where, at=reading.along, person=person, **{name: getattr(reading, name) for name in _AS_TOLD})


def _recorded(done: Recorded, marks: Mapping[int, str]) -> RecordedSaid:
    return RecordedSaid(
        entry=entry_said(done.entry, marks), notices=tuple(map(said, done.notices)), hardness=done.hardness
    )
