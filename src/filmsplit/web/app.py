"""The workbench as an application: its pages, its API, what stands before them, and the last catch."""

from __future__ import annotations

import logging
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.staticfiles import StaticFiles

from filmsplit import __version__
from filmsplit.actions.answers import plain
from filmsplit.actions.shop import Shop
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.api import routes as api
from filmsplit.web.guard import BodyTooLarge, Guard
from filmsplit.web.pages import home, looks, place, presses, rollers, words
from filmsplit.web.pages import press as press_page
from filmsplit.web.pages.wrong import WrongPage
from filmsplit.web.render import Bench, bench_of
from filmsplit.web.session import Sessions

_STATIC = Path(__file__).parent / "static"
_log = logging.getLogger(__name__)

ROUTERS = (*(page.router for page in (home, presses, press_page, place, rollers, words, looks)), api.router)

NOT_THERE = frozenset(
    {"shop-press-unknown", "unit-not-found", "place-not-on-unit", "roller-unknown", "web-page-unknown"}
)
"""Refusals that say that something is not there."""
FORBIDDEN = frozenset({"web-token-missing"})


def create_app(shop: Shop, *, hosts: frozenset[str], secret: bytes) -> FastAPI:
    """The application for one shop. ``hosts`` are the ``Host`` values it answers to; ``secret`` makes its tokens."""
    app = FastAPI(
        title=label("web.name"),
        version=__version__,
        summary=label("web.api_summary"),
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.bench = Bench(shop=shop, sessions=Sessions(secret))
    for router in ROUTERS:
        app.include_router(router)
    app.mount("/static", StaticFiles(directory=_STATIC))
    app.add_exception_handler(Refusal, _refused)
    app.add_exception_handler(BodyTooLarge, _too_large)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _not_understood)
    app.add_exception_handler(Exception, _fault)
    app.add_middleware(Guard, hosts=hosts)
    return app


def _status(problems: tuple[Problem, ...]) -> int:
    slugs = {problem.slug for problem in problems}
    if slugs & FORBIDDEN:
        return 403
    return 404 if slugs & NOT_THERE else 422


def _refused(request: Request, error: Exception) -> Response:
    problems = error.problems if isinstance(error, Refusal) else ()
    return _say(request, problems, status=_status(problems))


def _too_large(request: Request, _: Exception) -> Response:
    return _say(request, (Problem("web-body-large", {"most_mb": ""}),), status=413)


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return _say(request, (Problem("web-page-unknown", {"path": request.url.path[:120]}),), status=status)


def _not_understood(request: Request, error: Exception) -> Response:
    where = error.errors()[0]["loc"] if isinstance(error, RequestValidationError) else ()
    return _say(request, (Problem("web-input-wrong", {"field": str(where[-1]) if where else "-"}),), status=422)


def _fault(request: Request, error: Exception) -> Response:
    """Our own mistake: it goes to the log whole, and to the person in words."""
    _log.error("unexpected", exc_info=error)
    return _say(request, (Problem("web-fault"),), status=500)


def _say(request: Request, problems: tuple[Problem, ...], *, status: int) -> Response:
    """As JSON to a program, as a page to a person."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"problems": plain(problems)}, status)
    return bench_of(request).show(request, WrongPage(problems=problems), status=status)
