"""On a tablet: pair it with a printed code, and say who uses it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends, Form
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.forms import ours
from filmsplit.web.render import Bench, bench_of
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role
from filmsplit.web.shop_mode.visitor import visitor_of

router = APIRouter(include_in_schema=False)

_YEAR_S = 365 * 24 * 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class PairPage:
    """The code to type. ``open`` is false where the workbench is for this computer only."""

    template: ClassVar[str] = "pair.html"
    place: ClassVar[str] = ""

    open: bool

    @property
    def title(self) -> str:
        return label("web_shop.pair")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choosable:
    """A name of the list."""

    name: str
    role: Role
    has_pin: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoPage:
    """The names of the list, and whether this device is a tablet that somebody can choose one on."""

    template: ClassVar[str] = "who.html"
    place: ClassVar[str] = ""

    is_tablet: bool
    people: tuple[Choosable, ...]

    @property
    def title(self) -> str:
        return label("web_shop.who")


def access_of(request: Request) -> Access:
    """Who is let in; :class:`Refusal` where the workbench is for this computer only."""
    access = bench_of(request).access
    if access is None:
        raise Refusal(Problem("shop-mode-off"))
    return access


@router.get("/pair")
def pair_page(request: Request) -> Response:
    """The code to type."""
    bench = bench_of(request)
    return bench.show(request, PairPage(open=bench.access is not None))


@router.post("/pair", dependencies=[Depends(ours)])
def pair(request: Request, code: str = Form(max_length=40)) -> Response:
    """Use the code up, and keep the tablet's secret in its browser."""
    return _admitted(bench_of(request), access_of(request).pair(code), to="/who")


@router.get("/who")
def who_page(request: Request) -> Response:
    """The names."""
    bench = bench_of(request)
    people = () if bench.access is None else bench.access.admitted.people
    page = WhoPage(
        is_tablet=visitor_of(request).tablet is not None,
        people=tuple(Choosable(name=each.name, role=each.role, has_pin=bool(each.pin)) for each in people),
    )
    return bench.show(request, page)


@router.post("/who", dependencies=[Depends(ours)])
def choose(request: Request, name: str = Form(max_length=100), pin: str = Form("", max_length=40)) -> Response:
    """Let somebody use this tablet, or nobody any more where no name is given."""
    access, tablet = access_of(request), visitor_of(request).tablet
    if tablet is None:
        raise Refusal(Problem("shop-no-tablet"))
    if not name:
        access.leave(tablet)
        return RedirectResponse("/who", 303)
    return _admitted(bench_of(request), access.choose(tablet, name, pin=pin), to="/")


def _admitted(bench: Bench, secret: str, *, to: str) -> Response:
    """A new secret and a new session: whatever was in the browser before leads nowhere."""
    response = RedirectResponse(to, 303)
    response.set_cookie(COOKIE, secret, max_age=_YEAR_S, httponly=True, samesite="strict", path="/")
    bench.sessions.keep(response, bench.sessions.new_id())
    return response
