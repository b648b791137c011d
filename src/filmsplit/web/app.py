"""The workbench as an application: its pages, its API, and what stands before them."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles

from filmsplit import __version__
from filmsplit.actions.shop import Shop
from filmsplit.web.api_door import ApiDoor
from filmsplit.web.guard import Guard
from filmsplit.web.later_pages import LaterPages
from filmsplit.web.pages import home
from filmsplit.web.reader import InUnitsRead
from filmsplit.web.refused import answer_refusals
from filmsplit.web.render import Bench
from filmsplit.web.session import Sessions
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import ShopDoor

_STATIC = Path(__file__).parent / "static"


def create_app(shop: Shop, *, hosts: frozenset[str], secret: bytes, access: Access | None = None) -> FastAPI:
    """The application for one shop. ``hosts`` are the ``Host`` values it answers to; ``secret`` makes its tokens.

    With ``access`` it is in shop mode: others of the shop's network are let in as that says.
    """
    bench = Bench(shop=shop, sessions=Sessions(secret), access=access)
    app = FastAPI(version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.bench = bench
    app.include_router(home.router)
    app.mount("/static", StaticFiles(directory=_STATIC))
    app.router.default = LaterPages(app)
    answer_refusals(app)
    app.add_middleware(InUnitsRead)
    app.add_middleware(ApiDoor, bench=bench)
    if access is not None:
        app.add_middleware(ShopDoor, access=access)
    app.add_middleware(Guard, hosts=hosts, own_address=access is not None)
    return app
