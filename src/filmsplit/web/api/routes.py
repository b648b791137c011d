"""The actions as JSON. Each answer is the one that the terminal prints with ``--json``."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.answers import to_json
from filmsplit.actions.press import show_press
from filmsplit.actions.shop import kept_press, kept_presses
from filmsplit.actions.today import today_in
from filmsplit.web.clock import book_of
from filmsplit.web.render import bench_of

router = APIRouter(prefix="/api")


def _json(kind: str, **parts: object) -> Response:
    return Response(to_json(kind, **parts), media_type="application/json")


@router.get("/today", tags=["shop"], summary="What is due or out of limits, and what to do now")
def today(request: Request) -> Response:
    """The presses, the last jobs, and no more than three things to do."""
    bench = bench_of(request)
    return _json("today 1", today=today_in(bench.shop, book=book_of(bench.shop)))


@router.get("/presses", tags=["press"], summary="The presses of the shop")
def presses(request: Request) -> Response:
    """Every press file by name, with what is wrong with it."""
    kept = kept_presses(bench_of(request).shop)
    names = [{"name": each.name, "usable": each.press is not None, "problems": each.problems} for each in kept]
    return _json("presses 1", presses=names)


@router.get("/presses/{name}", tags=["press"], summary="The facts of a press")
def press(request: Request, name: str) -> Response:
    """Everything that follows from a press's description."""
    shown = show_press(str(kept_press(bench_of(request).shop, name).path))
    return _json("press-facts 1", facts=shown.facts)
