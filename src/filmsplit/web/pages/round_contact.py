"""One contact of a round: its target, what was read there last, and three touches for what is read now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.readings import Recorded
from filmsplit.actions.round_at_press import RoundContact, RoundNow, round_now
from filmsplit.actions.round_picture import put_pictured
from filmsplit.actions.round_reading import DOUBTS, StripeTold, put_stripe
from filmsplit.actions.stripe_map import target_at
from filmsplit.messages import Problem, Refusal, label
from filmsplit.procedures.words import Act
from filmsplit.records.kinds import ACROSS_3
from filmsplit.units.writing import format_temperature
from filmsplit.web.addresses import reading_address, round_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.look import Look, look_of
from filmsplit.web.pages.rounds import Sent, new_key, round_title
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of
from filmsplit.web.width_fields import MOST_WHOLE_MM, WidthField, celsius_in, width_fields, widths_in

router = APIRouter(include_in_schema=False)

LONGEST_PICTURE = 120
ON = "on"
"""The button that goes on to the next contact; any other value stays where it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPage:
    """A contact to be read. ``doubted``: only a yes is missing. ``just`` was put on record a moment ago.

    ``target_now``: what the stripe should show at the temperature told last, in mm, and that temperature in °C.
    ``picture``: the widths as pictures told them, where they did.
    """

    template: ClassVar[str] = "round_contact.html"
    place: ClassVar[str] = "rounds"

    now: RoundNow
    of: str
    at: RoundContact
    after: RoundContact | None
    target_now: tuple[float, float] | None
    picture: str
    step: str
    fields: tuple[WidthField, ...]
    wholes: tuple[int, ...]
    warmth_given: str
    problems: tuple[Problem, ...]
    doubted: bool
    just: tuple[str, tuple[float, ...]] | None
    base: str
    key: str

    @property
    def title(self) -> str:
        return label("web_read.title", number=self.at.number, all=len(self.now.contacts), contact=self.at.contact.id)


@router.get("/rounds/{number}/contact/{a}/{b}")
def contact(request: Request, number: int, *, a: str, b: str, just: str = "") -> Response:
    """A contact to be read, once the gate is open."""
    shop = bench_of(request).shop
    now = round_now(shop, number, book=book_of(shop))
    at = now.contact(f"{a}/{b}")
    if now.round.ended:
        return RedirectResponse(round_address(number, part="result"), 303)
    if now.shut:
        return RedirectResponse(f"{round_address(number, part='gate')}?contact={at.contact.id}", 303)
    return bench_of(request).show(request, _page(now, at, look=look_of(request), sent={"just": just}))


@router.post("/rounds/{number}/contact/{a}/{b}", dependencies=[Depends(ours)])
def put(request: Request, number: int, *, a: str, b: str, sent: Sent) -> Response:
    """Put a stripe on record and go where the touched button says."""
    shop, look = bench_of(request).shop, look_of(request)
    book, id = book_of(shop), f"{a}/{b}"
    try:
        recorded = _put(request, number, id=id, sent=sent)
    except Refusal as refusal:
        now = round_now(shop, number, book=book)
        page = _page(now, now.contact(id), look=look, sent=sent, problems=refusal.problems)
        return bench_of(request).show(request, page, status=422)
    now = round_now(shop, number, book=book)
    return RedirectResponse(_onward(now, id, recorded=recorded, go=sent.get("then") == ON), 303)


def _put(request: Request, number: int, *, id: str, sent: Mapping[str, str]) -> Recorded:
    shop, look = bench_of(request).shop, look_of(request)
    picture = picture_of(sent)
    told = StripeTold(
        contact=id,
        widths_mm=widths_in(sent, look=look),
        temperature_c=celsius_in(sent.get("warmth", ""), look=look),
        sure=sent.get("sure") == "yes",
        person=person_of(request, ""),
        remarks=picture,
    )
    put = put_pictured if picture else put_stripe
    return put(shop, number, told=told, book=book_of(shop), key=sent.get("key", ""))


def picture_of(sent: Mapping[str, str]) -> str:
    """The widths that pictures told, as they were shown; nothing where another width was touched since."""
    touched = any(sent.get(f"width_{place}") for place in ACROSS_3)
    return "" if touched else sent.get("picture", "")[:LONGEST_PICTURE]


def _onward(now: RoundNow, id: str, *, recorded: Recorded, go: bool) -> str:
    """To the next contact that is not done, to the result after the last one, or back to where it was read."""
    following = now.next_after(id) if go else now.contact(id)
    if following is None:
        return round_address(now.round.number, part="result")
    return f"{reading_address(now.round.number, contact=following.contact.id)}?just={recorded.entry.contact}"


def _page(
    now: RoundNow, at: RoundContact, *, look: Look, sent: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> ReadPage:
    known = at.read or at.last
    target = _target_now(now, at)
    aim_mm = at.contact.stripe.target_mm if target is None else target[0]
    widths = known.values if known is not None and len(known.values) == 3 else (aim_mm,) * 3
    done = next((each for each in now.contacts if each.contact.id == sent.get("just") and each.read is not None), None)
    measuring = next(step for step in now.passage.steps if step.act is Act.MEASURE)
    return ReadPage(
        now=now,
        of=round_title(now),
        at=at,
        after=now.next_after(at.contact.id),
        target_now=target,
        picture=picture_of(sent),
        step=measuring.do,
        fields=width_fields(widths, sent=sent, look=look),
        wholes=tuple(range(MOST_WHOLE_MM + 1)),
        warmth_given=sent.get("warmth", warmth_now(now, look)),
        problems=problems,
        doubted=bool(problems) and all(each.slug in DOUBTS for each in problems),
        just=None if done is None or done.read is None else (done.contact.id, done.read.values),
        base=round_address(now.round.number),
        key=new_key() if any(each.slug == "submit-key-used" for each in problems) else sent.get("key") or new_key(),
    )


def warmth_now(now: RoundNow, look: Look) -> str:
    """The temperature told last in this round since its gate, as it would be typed."""
    celsius = _celsius_now(now)
    return "" if celsius is None else format_temperature(celsius, look.temperatures).partition(" ")[0]


def _celsius_now(now: RoundNow) -> float | None:
    return next((each.temperature_c for each in reversed(now.round.steps) if each.temperature_c is not None), None)


def _target_now(now: RoundNow, at: RoundContact) -> tuple[float, float] | None:
    """What the result will hold the stripe to: the target as it shows at the temperature of the covers."""
    celsius = _celsius_now(now)
    found = None if celsius is None else target_at(now.press, now.unit, contact=at.contact, at_c=celsius)
    return None if found is None or celsius is None else (found, celsius)
