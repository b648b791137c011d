"""The gate of a round: a named person states what they checked, box by box. Nothing is ticked, nothing overrides it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.people import people
from filmsplit.actions.procedures import procedure_for
from filmsplit.actions.register import Daybook
from filmsplit.actions.round_at_press import AtGate, RoundNow, names_of_gauges, pass_gate, round_now
from filmsplit.messages import Problem, Refusal, label
from filmsplit.procedures.gate import Facts, Statement, passages_of
from filmsplit.web.addresses import reading_address, round_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.look import look_of
from filmsplit.web.pages.rounds import Sent, new_key, onward, round_title
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of
from filmsplit.web.width_fields import celsius_in

router = APIRouter(include_in_schema=False)

BOXES = ("signed-off", "isolated", "start-tried", "guards-tested", "guards", "lock")
"""What is stated, by the names of its labels; the same words as on paper."""
YES = "yes"


@dataclass(frozen=True, slots=True, kw_only=True)
class GatePage:
    """The gate. ``desk`` is what is done before anybody goes to the press; ``sent`` what was filled in already, of
    which no box is ever ticked again by itself."""

    template: ClassVar[str] = "round_gate.html"
    place: ClassVar[str] = "rounds"

    now: RoundNow
    of: str
    desk: tuple[str, ...]
    boxes: tuple[str, ...]
    people: tuple[str, ...]
    gauges: tuple[str, ...]
    problems: tuple[Problem, ...]
    sent: Mapping[str, str]
    contact: str
    key: str

    @property
    def title(self) -> str:
        return label("web_gate.title")


@router.get("/rounds/{number}/gate")
def gate(request: Request, number: int, contact: str = "") -> Response:
    """The gate, with every box empty."""
    shop = bench_of(request).shop
    book = book_of(shop)
    now = round_now(shop, number, book=book)
    if now.round.ended:
        return RedirectResponse(round_address(number, part="result"), 303)
    return bench_of(request).show(request, _page(now, book, sent={}, contact=contact))


@router.post("/rounds/{number}/gate", dependencies=[Depends(ours)])
def state(request: Request, number: int, *, sent: Sent) -> Response:
    """Put what was stated on record, or say everything that keeps the gate shut."""
    shop, look = bench_of(request).shop, look_of(request)
    book = book_of(shop)
    own = {**sent, "name": person_of(request, sent.get("name", ""))}
    try:
        at = AtGate(
            statement=_statement(own, book, spell=round_now(shop, number, book=book).passage.spell),
            facts=Facts(guards_in_place=sent.get("guards") == YES, lock_at_hand=sent.get("lock") == YES),
            instrument=sent.get("gauge", ""),
            temperature_c=celsius_in(sent.get("warmth", ""), look=look),
        )
        pass_gate(shop, number, at=at, book=book, key=sent.get("key", ""))
    except Refusal as refusal:
        page = _page(
            round_now(shop, number, book=book),
            book,
            sent=sent,
            contact=sent.get("contact", ""),
            problems=refusal.problems,
        )
        return bench_of(request).show(request, page, status=422)
    now, contact = round_now(shop, number, book=book), sent.get("contact", "")
    known = contact in {each.contact.id for each in now.contacts}
    return RedirectResponse(reading_address(number, contact=contact) if known else onward(now), 303)


def _statement(sent: Mapping[str, str], book: Daybook, *, spell: int) -> Statement:
    return Statement(
        person=sent.get("name", "").strip()[:60] or sent.get("known", "")[:60],
        signed_off=sent.get("signed-off") == YES,
        isolated_and_locked=sent.get("isolated") == YES,
        start_tried=sent.get("start-tried") == YES,
        guards_and_stops_tested=sent.get("guards-tested") == YES,
        made_on=book.day,
        spell=spell,
    )


def _page(
    now: RoundNow, book: Daybook, *, sent: Mapping[str, str], contact: str, problems: tuple[Problem, ...] = ()
) -> GatePage:
    procedure = procedure_for(str(now.kept.path), id="set-rollers", unit=now.unit.id)
    desk = [passage for passage in passages_of(procedure)[:1] if not passage.gated]
    steps = [step.do for passage in desk for step in passage.steps if step.ends_in is step.state]
    return GatePage(
        now=now,
        of=round_title(now),
        desk=tuple(steps),
        boxes=BOXES,
        people=people(book),
        gauges=names_of_gauges(book),
        problems=problems,
        sent=sent,
        contact=contact,
        key=new_key(),
    )
