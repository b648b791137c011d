"""What the condition of a press, and of one of its rollers, does to the sheet: as found beside as drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.as_found import AsFound, FoundAsked, FoundUnit, as_found
from filmsplit.actions.as_found_told import TableRow, case_heads, case_rows, contact_rows, roller_rows, sentences
from filmsplit.actions.desk import Doing
from filmsplit.actions.shop import KeptPress, Shop, changed_at, kept_press
from filmsplit.messages import Problem, Refusal, Severity, label
from filmsplit.press.asked import units_asked
from filmsplit.web.addresses import place_address, press_address
from filmsplit.web.clock import book_of
from filmsplit.web.desks import FOUND, soon
from filmsplit.web.pages.waiting import Waits, wait_page
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFoundPage:
    """One unit as found. ``of`` is the roller somebody came from, ``""`` for the whole unit."""

    template: ClassVar[str] = "as_found.html"
    place: ClassVar[str] = "presses"

    press: str
    of: str
    back: str
    sentences: tuple[str, ...]
    notes: tuple[Problem, ...]
    heads: tuple[str, ...]
    cases: tuple[TableRow, ...]
    rollers: tuple[TableRow, ...]
    contacts: tuple[TableRow, ...]
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web_found.title_of", roller=self.of) if self.of else label("web_found.title")


@router.get("/presses/{name}/{unit}/as-found")
def found(request: Request, name: str, *, unit: str, of: str = "") -> Response:
    """A unit as its rollers were read, beside what its file says."""
    bench = bench_of(request)
    kept = kept_press(bench.shop, name)
    if kept.press is None:
        raise Refusal(kept.problems)
    where = units_asked(kept.press, unit)[0]
    if of and of not in {each.id for each in where.rollers}:
        raise Refusal(Problem("place-not-on-unit", {"place": of, "press": kept.press.id, "unit": where.id}))
    told = _found(bench.shop, kept, unit=where.id)
    back = place_address(name, where.id, roller=of) if of else press_address(name, where.id)
    press = kept.press.name or kept.press.id
    if isinstance(told, Doing):
        return wait_page(
            request, ticket=told.ticket, stage=told.stage, waits=Waits(what="found", of=of or press, back=back)
        )
    return bench.show(request, _page(told.units[0], told.notes, of=of, back=back, press=press))


def _found(shop: Shop, kept: KeptPress, *, unit: str) -> AsFound | Doing[AsFound]:
    """A unit as found by the records as they are now, or what is being done to find it."""
    book = book_of(shop)

    def made(doing: Doing[AsFound]) -> AsFound:
        def tell(step: int, steps: int) -> None:
            doing.tell(label("web_wait.as_found", step=step, steps=steps))

        return as_found(str(kept.path), FoundAsked(unit=unit, told=tell), book=book)

    key = (str(kept.path), changed_at(shop, kept.path), unit, book.day)
    return soon(FOUND, key, made)


def _page(unit: FoundUnit, notes: tuple[Problem, ...], *, of: str, back: str, press: str) -> AsFoundPage:
    return AsFoundPage(
        press=press,
        of=of,
        back=back,
        sentences=tuple(sentences(unit, of=of)),
        notes=notes,
        heads=tuple(case_heads(unit)),
        cases=tuple(case_rows(unit)),
        rollers=tuple(roller_rows(unit, of=of)),
        contacts=tuple(contact_rows(unit, of=of)),
        problems=tuple(
            each.outcome
            for each in unit.cases
            if each.outcome is not None and each.outcome.severity is not Severity.INFORMATION
        ),
    )
