"""What stands at a place of the train: a roller's place with the roller fitted there, and a contact with its stripe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.contact_correction import Correction, correction_of
from filmsplit.actions.press_places import AtPlace, InContact, at_place, in_contact
from filmsplit.actions.shop import kept_press
from filmsplit.messages import label
from filmsplit.web.addresses import contact_address, found_address, place_address, press_address, roller_address
from filmsplit.web.clock import book_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Words that lead somewhere."""

    words: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacePage:
    """A roller's place: what the press file says of it, its contacts, and the roller fitted there, if registered."""

    template: ClassVar[str] = "place.html"
    place: ClassVar[str] = "presses"

    press: Link
    at: AtPlace
    contacts: tuple[Link, ...]
    roller: Link | None
    found: str

    @property
    def title(self) -> str:
        return label("web.roller", id=self.at.roller.id, name=self.at.roller.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactPage:
    """A contact: its two members, its target, what was read there last, and what widens or narrows it."""

    template: ClassVar[str] = "contact.html"
    place: ClassVar[str] = "presses"

    press: Link
    found: InContact
    members: tuple[Link, ...]
    correction: Correction

    @property
    def title(self) -> str:
        return label("web.contact", a=self.found.contact.a, b=self.found.contact.b)


@router.get("/presses/{name}/{unit}/roller/{roller}")
def roller(request: Request, name: str, *, unit: str, roller: str) -> Response:
    """A roller's place on a press."""
    bench = bench_of(request)
    kept = kept_press(bench.shop, name)
    found = at_place(kept, unit, roller=roller, book=book_of(bench.shop))
    page = PlacePage(
        press=Link(words=found.press.name or found.press.id, address=press_address(name, unit)),
        at=found,
        contacts=tuple(
            Link(
                words=label("web.contact", a=each.a, b=each.b),
                address=contact_address(name, unit, contact=each.id),
            )
            for each in found.contacts
        ),
        roller=None if found.mark is None else Link(words=found.mark, address=roller_address(found.mark)),
        found=found_address(name, unit, roller=roller),
    )
    return bench.show(request, page)


@router.get("/presses/{name}/{unit}/contact/{a}/{b}")
def contact(request: Request, name: str, *, unit: str, a: str, b: str) -> Response:
    """A contact of a press."""
    bench = bench_of(request)
    kept, book = kept_press(bench.shop, name), book_of(bench.shop)
    found = in_contact(kept, unit, contact=f"{a}/{b}", book=book)
    page = ContactPage(
        press=Link(words=found.press.name or found.press.id, address=press_address(name, unit)),
        found=found,
        members=tuple(
            Link(
                words=label("web.roller", id=each.id, name=each.name), address=place_address(name, unit, roller=each.id)
            )
            for each in found.rollers
        ),
        correction=correction_of(kept, found.unit.id, contact=found.contact.id, book=book),
    )
    return bench.show(request, page)
