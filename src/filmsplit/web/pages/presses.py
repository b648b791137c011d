"""The presses of the shop, and how to have one more: a press of the demo workshop to look around with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends, Form
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.find import find_press
from filmsplit.actions.register import register
from filmsplit.actions.shop import KeptPress, bring_demo_press, kept_press, kept_presses
from filmsplit.library.workshop import demo_presses
from filmsplit.messages import label
from filmsplit.web.addresses import press_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoPress:
    """A press of the demo workshop that can be brought in."""

    name: str
    title: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PressesPage:
    """The presses of the shop, and those of the demo workshop that it does not have."""

    template: ClassVar[str] = "presses.html"
    place: ClassVar[str] = "presses"

    presses: tuple[tuple[KeptPress, str], ...]
    demo: tuple[DemoPress, ...]
    comparable: tuple[tuple[str, str], ...]

    @property
    def title(self) -> str:
        return label("web.presses")


@router.get("/presses")
def presses(request: Request) -> Response:
    """All presses."""
    bench = bench_of(request)
    kept = kept_presses(bench.shop)
    there = {each.name for each in kept}
    demo = ((name, find_press(name).press) for name in demo_presses() if name not in there)
    page = PressesPage(
        presses=tuple((each, press_address(each.name)) for each in kept),
        demo=tuple(DemoPress(name=name, title=press.name or name, note=press.note) for name, press in demo),
        comparable=tuple((each.name, each.press.name or each.name) for each in kept if each.press is not None),
    )
    return bench.show(request, page)


@router.post("/presses/bring", dependencies=[Depends(ours)])
def bring(request: Request, press: str = Form()) -> Response:
    """Copy a demo press into the shop."""
    kept = bring_demo_press(bench_of(request).shop, press)
    return RedirectResponse(press_address(kept.name), 303)


@router.post("/presses/{name}/register", dependencies=[Depends(ours)])
def put_on_register(request: Request, name: str) -> Response:
    """Put every roller of a press on the register."""
    bench = bench_of(request)
    register(str(kept_press(bench.shop, name).path), book=book_of(bench.shop))
    return RedirectResponse(press_address(name), 303)
