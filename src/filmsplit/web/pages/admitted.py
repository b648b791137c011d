"""The owner's page: what is open, who is on the list, which tablets are paired, a code for one more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends, Form
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.messages import label
from filmsplit.web.forms import ours
from filmsplit.web.network import addresses_here
from filmsplit.web.pages.pairing import access_of
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.people import Person, Role, Tablet

router = APIRouter(prefix="/shop", include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class AdmittedPage:
    """``code`` is there once, right after it was made. ``found_at`` is empty where only this computer is let in."""

    template: ClassVar[str] = "admitted.html"
    place: ClassVar[str] = ""

    open: bool
    found_at: tuple[str, ...]
    people: tuple[Person, ...]
    tablets: tuple[Tablet, ...]
    code: str
    roles: tuple[Role, ...] = tuple(Role)

    @property
    def title(self) -> str:
        return label("web_shop.title")


@router.get("")
def admitted(request: Request) -> Response:
    """Who is let in."""
    return _shown(request)


@router.post("/code", dependencies=[Depends(ours)])
def code(request: Request) -> Response:
    """A new code, shown once, on a page that can be printed."""
    return _shown(request, code=access_of(request).code())


@router.post("/people", dependencies=[Depends(ours)])
def add(
    request: Request, name: str = Form(max_length=200), *, role: Role = Form(), pin: str = Form("", max_length=40)
) -> Response:
    """Put somebody on the list, or change who is on it."""
    access_of(request).add(name, role, pin=pin)
    return RedirectResponse("/shop", 303)


@router.post("/people/remove", dependencies=[Depends(ours)])
def remove(request: Request, name: str = Form(max_length=200)) -> Response:
    """Take somebody off the list."""
    access_of(request).remove(name)
    return RedirectResponse("/shop", 303)


@router.post("/tablets/revoke", dependencies=[Depends(ours)])
def revoke(request: Request, number: int = Form(ge=0, le=10**9)) -> Response:
    """Let a tablet in no more."""
    access_of(request).revoke(number)
    return RedirectResponse("/shop", 303)


def _shown(request: Request, *, code: str = "") -> Response:
    bench = bench_of(request)
    access, here = bench.access, request.scope.get("server") or ("", 0)
    known = None if access is None else access.admitted
    page = AdmittedPage(
        open=access is not None,
        found_at=() if known is None else addresses_here(here[1]),
        people=() if known is None else known.people,
        tablets=() if known is None else known.tablets,
        code=code,
    )
    return bench.show(request, page)
