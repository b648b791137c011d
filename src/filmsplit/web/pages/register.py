"""The register: every roller of the shop, where it is, and the verdict on it; labels and cards of a press to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.entry_words import where
from filmsplit.actions.roller_card import write_cards
from filmsplit.actions.roller_labels import LabelsAsked, write_labels
from filmsplit.actions.shop import kept_press
from filmsplit.actions.shop_care import JudgedRoller, judged_rollers, registered_presses
from filmsplit.condition.verdict import Verdict
from filmsplit.messages import Refusal, label
from filmsplit.web.addresses import register_address, roller_address
from filmsplit.web.clock import book_of
from filmsplit.web.paper import pdf_answer
from filmsplit.web.render import Bench, bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerLine:
    """A roller in the table; ``why`` is the gravest reason of its verdict."""

    mark: str
    address: str
    where: str
    verdict: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterPage:
    """The rollers of the shop, or of one press. ``presses`` are the choices: name, address, whether chosen."""

    template: ClassVar[str] = "register.html"
    place: ClassVar[str] = "rollers"

    presses: tuple[tuple[str, str, bool], ...]
    rollers: tuple[RollerLine, ...]
    papers: str
    """Where labels and cards of the chosen press are; empty where none is chosen."""

    @property
    def title(self) -> str:
        return label("web_register.title")


@router.get("/rollers")
def rollers(request: Request, on: str = "") -> Response:
    """The rollers of the register; ``on`` is a press of the shop."""
    bench = bench_of(request)
    book = book_of(bench.shop)
    id = _id_of(bench, on) if on else ""
    presses = [
        (each.press.name or each.name, register_address(each.name), each.name == on)
        for each in registered_presses(bench.shop, book=book)
        if each.press is not None
    ]
    page = RegisterPage(
        presses=((label("web_register.all"), register_address(), not on), *presses),
        rollers=tuple(map(_line, judged_rollers(book=book, press=id))),
        papers=register_address(on, paper=True) if on else "",
    )
    return bench.show(request, page)


@router.get("/rollers/on/{name}/labels.pdf")
def labels(request: Request, name: str) -> Response:
    """A label for every roller on a press."""
    bench = bench_of(request)
    asked, book = LabelsAsked(press=_id_of(bench, name)), book_of(bench.shop)
    return pdf_answer(lambda to: write_labels(to, asked, book=book), name="labels")


@router.get("/rollers/on/{name}/cards.pdf")
def cards(request: Request, name: str) -> Response:
    """A card for every roller on a press."""
    bench = bench_of(request)
    asked, book = LabelsAsked(press=_id_of(bench, name)), book_of(bench.shop)
    return pdf_answer(lambda to: write_cards(to, asked, book=book), name="cards")


def _id_of(bench: Bench, name: str) -> str:
    kept = kept_press(bench.shop, name)
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept.press.id


def _line(found: JudgedRoller) -> RollerLine:
    roller, position, verdict = found.standing.roller, found.standing.position, found.verdict
    grave = () if verdict is None else [each for each in verdict.findings if each.verdict is not Verdict.KEEP]
    unread = () if verdict is None else dict.fromkeys(label(f"unread.{each.name.lower()}") for each in verdict.unread)
    lacking = label("web_register.unread", what=", ".join(unread)) if unread else ""
    return RollerLine(
        mark=roller.mark,
        address=roller_address(roller.mark),
        where=label("web.unknown") if position is None else where(position),
        verdict=label("web_register.retired" if verdict is None else f"verdict.{verdict.verdict.value}"),
        why=" ".join([*(each.problem.what for each in grave[:1]), lacking]).strip(),
    )
