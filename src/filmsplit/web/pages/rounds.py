"""Rounds: begun, gone on with after whatever came between, and ended."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.register import Daybook, listed
from filmsplit.actions.round_at_press import RoundNow, begin, happened, round_now, rounds_in
from filmsplit.actions.shop import Shop, kept_press, kept_presses
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.rounds import Happened, Round
from filmsplit.web.addresses import press_address, reading_address, round_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import filled, ours
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of

router = APIRouter(include_in_schema=False)
Sent = Annotated[Mapping[str, str], Depends(filled)]


def new_key() -> str:
    """A name for what a form will send: sent again under it, nothing is recorded again."""
    return secrets.token_hex(12)


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A unit at which a round can begin; ``address`` leads to the press where its rollers are not registered."""

    press: str
    name: str
    unit: str
    address: str
    registered: bool
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundsPage:
    """The rounds that are not ended, where one can begin, and those that were."""

    template: ClassVar[str] = "rounds.html"
    place: ClassVar[str] = "rounds"

    going: tuple[tuple[Round, str], ...]
    past: tuple[tuple[Round, str], ...]
    starts: tuple[Start, ...]
    names: Mapping[str, str]

    @property
    def title(self) -> str:
        return label("web_round.rounds")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPage:
    """One round: its contacts with the page of each, and what comes next."""

    template: ClassVar[str] = "round.html"
    place: ClassVar[str] = "rounds"

    now: RoundNow
    contacts: tuple[tuple[object, str], ...]
    onward: str
    result: str
    base: str
    key: str

    @property
    def title(self) -> str:
        return round_title(self.now)


def round_title(now: RoundNow) -> str:
    """The round by its number, its press and its unit."""
    return label(
        "web_round.round",
        number=now.round.number,
        press=now.press.name or now.press.id,
        unit=now.unit.id,
    )


@router.get("/rounds")
def rounds(request: Request) -> Response:
    """The rounds, and where one can begin."""
    shop = bench_of(request).shop
    book = book_of(shop)
    known = [(each, round_address(each.number)) for each in rounds_in(book)]
    page = RoundsPage(
        going=tuple((each, to) for each, to in known if not each.ended),
        past=tuple((each, round_address(each.number, part="result")) for each, _ in known if each.ended),
        starts=_starts(shop, book),
        names={kept.press.id: kept.press.name for kept in kept_presses(shop) if kept.press and kept.press.name},
    )
    return bench_of(request).show(request, page)


def _starts(shop: Shop, book: Daybook) -> tuple[Start, ...]:
    there = {
        (each.position.at.press, each.position.at.unit)
        for each in listed(book=book)
        if each.position and each.position.at
    }
    return tuple(
        Start(
            press=kept.name,
            name=kept.press.name or kept.press.id,
            unit=unit.id,
            address=press_address(kept.name, unit.id),
            registered=(kept.press.id, unit.id) in there,
            key=new_key(),
        )
        for kept in kept_presses(shop)
        if kept.press is not None
        for unit in kept.press.units
    )


@router.post("/rounds", dependencies=[Depends(ours)])
def begin_here(request: Request, sent: Sent) -> Response:
    """Begin a round. Its first page is the gate."""
    shop = bench_of(request).shop
    book = book_of(shop)
    press, unit = sent.get("press", ""), sent.get("unit", "")
    kept = kept_press(shop, press)
    if kept.press is not None and not listed(book=book, press=kept.press.id):
        raise Refusal(Problem("round-nothing-registered", {"press": press}))
    number = begin(shop, press, unit=unit, book=book, key=sent.get("key", ""))
    return RedirectResponse(round_address(number, part="gate"), 303)


@router.get("/rounds/{number}")
def one(request: Request, number: int) -> Response:
    """One round."""
    shop = bench_of(request).shop
    now = round_now(shop, number, book=book_of(shop))
    page = RoundPage(
        now=now,
        contacts=tuple((each, reading_address(number, contact=each.contact.id)) for each in now.contacts),
        onward=onward(now),
        result=round_address(number, part="result"),
        base=round_address(number),
        key=new_key(),
    )
    return bench_of(request).show(request, page)


def onward(now: RoundNow) -> str:
    """Where the round goes on: at the gate, at its first contact that is not done, or with the result."""
    number = now.round.number
    if not now.ahead or now.round.ended:
        return round_address(number, part="result")
    return reading_address(number, contact=now.ahead[0].contact.id)


@router.post("/rounds/{number}/moved", dependencies=[Depends(ours)])
def moved(request: Request, number: int, *, sent: Sent) -> Response:
    """Rollers move: what was stated at the gate counts no more."""
    _happened(request, number, what=Happened.MOVED, sent=sent)
    return RedirectResponse(round_address(number, part="gate"), 303)


@router.post("/rounds/{number}/end", dependencies=[Depends(ours)])
def end(request: Request, number: int, *, sent: Sent) -> Response:
    """End the round."""
    _happened(request, number, what=Happened.ENDED, sent=sent)
    return RedirectResponse(round_address(number, part="result"), 303)


@router.post("/rounds/{number}/leave-out", dependencies=[Depends(ours)])
def leave_out(request: Request, number: int, *, sent: Sent) -> Response:
    """Leave a contact out that cannot be read."""
    _happened(request, number, what=Happened.LEFT_OUT, sent=sent, contact=sent.get("contact", ""))
    return RedirectResponse(round_address(number), 303)


def _happened(request: Request, number: int, *, what: Happened, sent: Mapping[str, str], contact: str = "") -> None:
    shop = bench_of(request).shop
    key, person = sent.get("key", ""), person_of(request, "")
    happened(shop, number, what=what, book=book_of(shop), key=key, contact=contact, person=person)
