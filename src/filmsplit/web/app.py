"""The workbench as an application: its pages, its API, and what stands before them."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles

from filmsplit import __version__
from filmsplit.actions.shop import Shop
from filmsplit.web.api_door import ApiDoor
from filmsplit.web.guard import Guard
from filmsplit.web.pages import (
    home,
    looks,
    place,
    presses,
    rollers,
    round_contact,
    round_gate,
    round_result,
    rounds,
    words,
)
from filmsplit.web.pages import press as press_page
from filmsplit.web.refused import answer_refusals
from filmsplit.web.render import Bench
from filmsplit.web.session import Sessions

_STATIC = Path(__file__).parent / "static"

ROUND_PAGES = (rounds, round_gate, round_contact, round_result)
PAGES = (home, presses, press_page, place, rollers, *ROUND_PAGES, words, looks)
ROUTERS = tuple(page.router for page in PAGES)
"""The pages. The API has its own, which only it loads."""


def create_app(shop: Shop, *, hosts: frozenset[str], secret: bytes) -> FastAPI:
    """The application for one shop. ``hosts`` are the ``Host`` values it answers to; ``secret`` makes its tokens."""
    bench = Bench(shop=shop, sessions=Sessions(secret))
    app = FastAPI(version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.bench = bench
    for router in ROUTERS:
        app.include_router(router)
    app.mount("/static", StaticFiles(directory=_STATIC))
    answer_refusals(app)
    app.add_middleware(ApiDoor, bench=bench)
    app.add_middleware(Guard, hosts=hosts)
    return app
