"""Presses: their units as figures and as a map, places and contacts, marks, what is due, and how to have one more."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.care import due
from filmsplit.actions.map_tells import Telling
from filmsplit.actions.marks import match
from filmsplit.actions.press_map import map_of
from filmsplit.actions.press_places import at_place, in_contact
from filmsplit.actions.register import listed, register
from filmsplit.actions.shop import KeptPress, Shop, bring_demo_press, kept_press, kept_presses
from filmsplit.messages import Refusal
from filmsplit.press import Press
from filmsplit.press.asked import units_asked
from filmsplit.web.api.answering import REFUSALS, answer, said
from filmsplit.web.api.said_press import (
    ContactAnswer,
    MapAnswer,
    MarksAnswer,
    PlaceAnswer,
    PressAnswer,
    PressesAnswer,
    contact_said,
    press_said,
    roller_said,
    suspect_said,
    unit_said,
    verdict_said,
)
from filmsplit.web.api.said_rollers import DueAnswer, RollersAnswer, due_said, registered_said
from filmsplit.web.api.told import MOST_MARKS, BringTold, Number
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.map_places import map_places
from filmsplit.web.render import bench_of

router = APIRouter(prefix="/api/presses", tags=["press"], responses=REFUSALS)


def usable(shop: Shop, name: str) -> tuple[KeptPress, Press]:
    """The press called ``name``; :class:`Refusal` where there is none, or its file cannot be used."""
    kept = kept_press(shop, name)
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept, kept.press


@router.get("", response_model=PressesAnswer, summary="The presses of the shop")
def presses(request: Request) -> Response:
    """Every press file by name, with what is wrong with it."""
    return answer(PressesAnswer(presses=tuple(map(press_said, kept_presses(bench_of(request).shop)))))


@router.post("/bring", response_model=PressAnswer, dependencies=[Depends(ours)], summary="Bring in a demo press")
def bring(request: Request, told: BringTold) -> Response:
    """Copy a press of the demo workshop into the shop; a press that is there stays as it is."""
    return answer(_press(bring_demo_press(bench_of(request).shop, told.press)))


@router.get("/{name}", response_model=PressAnswer, summary="A press, unit by unit")
def press(request: Request, name: str) -> Response:
    """Rollers and contacts of every unit."""
    return answer(_press(kept_press(bench_of(request).shop, name)))


@router.post(
    "/{name}/register", response_model=RollersAnswer, dependencies=[Depends(ours)], summary="Register its rollers"
)
def put_on_register(request: Request, name: str) -> Response:
    """Put every roller of the press on the register, and say which rollers are on it now."""
    shop = bench_of(request).shop
    kept, found = usable(shop, name)
    register(str(kept.path), book=book_of(shop))
    return answer(RollersAnswer(rollers=tuple(map(registered_said, listed(book=book_of(shop), press=found.id)))))


@router.get("/{name}/due", response_model=DueAnswer, summary="What is due on a press")
def due_on(request: Request, name: str) -> Response:
    """Tasks by two clocks, days and impressions, whichever is over first."""
    shop = bench_of(request).shop
    kept, found = usable(shop, name)
    book = book_of(shop)
    return answer(DueAnswer(press=found.id, day=book.day, tasks=tuple(map(due_said, due(str(kept.path), book=book)))))


@router.get("/{name}/marks", response_model=MarksAnswer, summary="Which part may have left these marks")
def marks(
    request: Request,
    name: str,
    *,
    at_mm: Annotated[list[Number], Query(min_length=1, max_length=MOST_MARKS)],
    unit: Annotated[str, Query(max_length=40)] = "",
) -> Response:
    """Distances of marks from the lead edge of one sheet, in mm."""
    kept, found = usable(bench_of(request).shop, name)
    matched = match(str(kept.path), at_mm, unit=unit or None).match
    return answer(
        MarksAnswer(
            press=found.id,
            finding=matched.finding.text,
            suspects=tuple(map(suspect_said, matched.ranked)),
            unlisted=matched.unlisted,
            notes=tuple(map(said, matched.notes)),
        )
    )


@router.get("/{name}/units/{unit}/map", response_model=MapAnswer, summary="The train as a drawing")
def drawn(request: Request, name: str, *, unit: str, tells: Telling = Telling.CONDITION) -> Response:
    """One unit as SVG, with what it tells of its rollers."""
    shop = bench_of(request).shop
    _, press = usable(shop, name)
    found = units_asked(press, unit)[0]
    made = map_of(press, found, telling=tells, places=map_places(name, found), book=book_of(shop))
    verdicts = {place: verdict_said(verdict) for place, verdict in made.verdicts.items()}
    return answer(MapAnswer(press=press.id, unit=found.id, tells=tells, svg=made.svg, verdicts=verdicts))


@router.get("/{name}/units/{unit}/rollers/{roller}", response_model=PlaceAnswer, summary="A roller's place")
def place(request: Request, name: str, *, unit: str, roller: str) -> Response:
    """What the press file says of it, and the roller fitted there."""
    shop = bench_of(request).shop
    found = at_place(kept_press(shop, name), unit, roller=roller, book=book_of(shop))
    return answer(
        PlaceAnswer(
            press=found.press.id,
            unit=found.unit.id,
            roller=roller_said(found.facts),
            contacts=tuple(map(contact_said, found.contacts)),
            mark=found.mark,
            verdict=None if found.verdict is None else verdict_said(found.verdict),
        )
    )


@router.get("/{name}/units/{unit}/contacts/{a}/{b}", response_model=ContactAnswer, summary="A contact and its stripes")
def contact(request: Request, name: str, *, unit: str, a: str, b: str) -> Response:
    """Its target, and every stripe read there with the rollers that are fitted now."""
    shop = bench_of(request).shop
    found = in_contact(kept_press(shop, name), unit, contact=f"{a}/{b}", book=book_of(shop))
    said_of = contact_said(found.contact)
    return answer(ContactAnswer(press=found.press.id, unit=found.unit.id, contact=said_of, stripes=found.stripes))


def _press(kept: KeptPress) -> PressAnswer:
    press = kept.press
    units = () if press is None else tuple(unit_said(press, each) for each in press.units)
    return PressAnswer(press=press_said(kept), units=units)
