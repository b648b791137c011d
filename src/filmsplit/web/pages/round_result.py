"""What a round told, and the order sheet of a roller."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.care import order
from filmsplit.actions.order_paper import write_order
from filmsplit.actions.round_at_press import RoundNow, round_now
from filmsplit.actions.round_result import RoundResult, round_result
from filmsplit.actions.setting import GroupPlan
from filmsplit.actions.setting_words import held_words, problems_of, to_do, who
from filmsplit.actions.stripe_map import ContactStripe
from filmsplit.actions.stripe_map_paper import read_words, target_words
from filmsplit.actions.stripe_map_paper import to_do as stripe_to_do
from filmsplit.condition.orders import Duty
from filmsplit.condition.verdict import RollerVerdict
from filmsplit.messages import Problem, label
from filmsplit.web.addresses import reading_address, roller_address, round_address
from filmsplit.web.clock import book_of
from filmsplit.web.look import Look, look_of
from filmsplit.web.pages.rounds import new_key, round_title
from filmsplit.web.paper import pdf_answer
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeRow:
    """A contact in the table: its number on the map, and what its stripe says."""

    number: int
    contact: str
    address: str
    sign: str
    read: str
    target: str
    found: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnRow:
    """A contact whose ends are told to be turned, left, or looked at."""

    who: str
    operator: str
    gear: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultPage:
    """Map, verdicts, corrections, orders. ``judged``: a group was judged by its stripes; ``withheld`` where
    something refuses to tell its turns."""

    template: ClassVar[str] = "round_result.html"
    place: ClassVar[str] = "rounds"

    now: RoundNow
    of: str
    svg: str
    stripes: tuple[StripeRow, ...]
    turns: tuple[TurnRow, ...]
    judged: bool
    withheld: bool
    held: tuple[str, ...]
    notes: tuple[Problem, ...]
    orders: tuple[tuple[RollerVerdict, str], ...]
    base: str
    key: str

    @property
    def title(self) -> str:
        return label("web_result.title", number=self.now.round.number)


@router.get("/rounds/{number}/result")
def result(request: Request, number: int) -> Response:
    """What the round told."""
    shop = bench_of(request).shop
    book = book_of(shop)
    now = round_now(shop, number, book=book)
    return bench_of(request).show(request, _page(now, round_result(now, book=book), look=look_of(request)))


def _page(now: RoundNow, found: RoundResult, *, look: Look) -> ResultPage:
    notes = {problem.what: problem for group in found.groups for problem in problems_of(group)}
    return ResultPage(
        now=now,
        of=round_title(now),
        svg=found.svg,
        stripes=tuple(_row(now, each, look=look) for each in found.stripes),
        turns=tuple(row for group in found.groups for row in _turns(group)),
        judged=bool(found.groups),
        withheld=any(group.advice.withheld for group in found.groups if group.advice is not None),
        held=tuple(held_words(found.groups)),
        notes=tuple(notes.values()),
        orders=tuple((each, roller_address(each.roller)) for each in found.to_order),
        base=round_address(now.round.number),
        key=new_key(),
    )


def _row(now: RoundNow, each: ContactStripe, *, look: Look) -> StripeRow:
    return StripeRow(
        number=each.number,
        contact=each.contact,
        address=reading_address(now.round.number, contact=each.contact),
        sign=label(f"stripe_map_sign.{each.sign.value}"),
        read=read_words(each, lengths=look.lengths, temperatures=look.temperatures),
        target=target_words(each, lengths=look.lengths),
        found=tuple(stripe_to_do(each)),
    )


def _turns(group: GroupPlan) -> Iterator[TurnRow]:
    plans = {plan.planned.contact.id: plan for plan in group.contacts}
    for each in group.advice.contacts if group.advice is not None else ():
        operator, gear = to_do(each)
        if operator or gear:
            yield TurnRow(who=who(plans[each.contact]), operator=operator, gear=gear)


@router.get("/rollers/{mark}/order.pdf")
def order_sheet(request: Request, mark: str) -> Response:
    """The order sheet of a roller. One that cannot be sent says so on top."""
    book = book_of(bench_of(request).shop)
    found = order(mark, duty=Duty(), book=book)
    return pdf_answer(lambda to: write_order(found, to, book=book), name="order")
