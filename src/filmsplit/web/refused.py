"""The last catch: what could not be done, as a page to a person and as JSON to a program."""

from __future__ import annotations

import logging

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from filmsplit.actions.answers import plain
from filmsplit.messages import Problem, Refusal
from filmsplit.web.guard import most_bytes
from filmsplit.web.pages.wrong import WrongPage
from filmsplit.web.render import bench_of

_log = logging.getLogger(__name__)

NOT_THERE = frozenset(
    {
        "shop-press-unknown",
        "unit-not-found",
        "place-not-on-unit",
        "roller-unknown",
        "round-unknown",
        "roller-not-found",
        "records-not-there",
        "job-not-found",
        "reading-number-unknown",
        "web-page-unknown",
        "shop-person-unknown",
        "procedure-not-found",
        "message-unknown",
        "job-struck-out",
    }
)
"""Refusals that say that something is not there."""
FORBIDDEN = frozenset(
    {
        "web-token-missing",
        "web-asked-from-elsewhere",
        "shop-code-wrong",
        "shop-pin-wrong",
        "shop-wait",
        "shop-owner-changes",
    }
)


def answer_refusals(app: FastAPI) -> None:
    """Let the application answer everything that stops a request in words."""
    app.add_exception_handler(Refusal, _refused)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _not_understood)
    app.add_exception_handler(Exception, _fault)


def _status(problems: tuple[Problem, ...]) -> int:
    slugs = {problem.slug for problem in problems}
    if slugs & FORBIDDEN:
        return 403
    return 404 if slugs & NOT_THERE else 422


def _refused(request: Request, error: Exception) -> Response:
    problems = error.problems if isinstance(error, Refusal) else ()
    return say(request, problems, status=_status(problems))


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    if status == 413:
        return say(
            request, (Problem("web-body-large", {"most_mb": most_bytes(request.headers) // 1024**2}),), status=status
        )
    if status == 400:  # neither a form nor JSON that can be read
        return say(request, (Problem("web-input-wrong", {"field": "-"}),), status=status)
    return say(request, (Problem("web-page-unknown", {"path": request.url.path[:120]}),), status=status)


def _not_understood(request: Request, error: Exception) -> Response:
    where = error.errors()[0]["loc"] if isinstance(error, RequestValidationError) else ()
    return say(request, (Problem("web-input-wrong", {"field": str(where[-1]) if where else "-"}),), status=422)


def _fault(request: Request, error: Exception) -> Response:
    """Our own mistake: it goes to the log whole, and to the person in words."""
    _log.error("unexpected", exc_info=error)
    return say(request, (Problem("web-fault"),), status=500)


def say(request: Request, problems: tuple[Problem, ...], *, status: int) -> Response:
    """As JSON to a program, as a page to a person."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"problems": plain(problems)}, status)
    return bench_of(request).show(request, WrongPage(problems=problems), status=status)
