"""The shop today, the session, and words of the trade."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.today import today_in
from filmsplit.actions.words import look_up
from filmsplit.library.glossary import entries
from filmsplit.web.api.answering import REFUSALS, answer
from filmsplit.web.api.said_shop import (
    SessionAnswer,
    TodayAnswer,
    WordsAnswer,
    press_today_said,
    to_do_said,
    word_said,
)
from filmsplit.web.clock import book_of
from filmsplit.web.render import bench_of
from filmsplit.web.session import TOKEN_HEADER

router = APIRouter(prefix="/api", responses=REFUSALS)


@router.get("/session", response_model=SessionAnswer, tags=["shop"], summary="The token for all that changes something")
def session(request: Request) -> Response:
    """Begin a session, or go on with it: keep the cookie, and bring the token in the header that is named."""
    sessions = bench_of(request).sessions
    own = sessions.id_of(request)
    found = answer(SessionAnswer(header=TOKEN_HEADER, token=sessions.token(own)))
    sessions.keep(found, own)
    return found


@router.get("/today", response_model=TodayAnswer, tags=["shop"], summary="What is due or out of limits, and what to do")
def today(request: Request) -> Response:
    """The presses, the last jobs, and no more than three things to do."""
    shop = bench_of(request).shop
    book = book_of(shop)
    found = today_in(shop, book=book)
    return answer(
        TodayAnswer(
            day=book.day,
            presses=tuple(map(press_today_said, found.presses)),
            jobs=found.jobs,
            to_do=tuple(map(to_do_said, found.to_do)),
        )
    )


@router.get("/words", response_model=WordsAnswer, tags=["words"], summary="Words of the trade")
def words(asked: Annotated[str, Query(max_length=80)] = "") -> Response:
    """The glossary, or the words nearest to what was asked for."""
    found = look_up(asked.strip()) if asked.strip() else entries()
    return answer(WordsAnswer(words=tuple(map(word_said, found))))
