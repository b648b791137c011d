"""What a message means, and a procedure step by step: read at the desk, or beside the press before the gate."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.procedures import own_procedure_for
from filmsplit.actions.search import message_meant
from filmsplit.actions.shop import Shop, kept_press, kept_presses
from filmsplit.messages import Problem, Refusal, label
from filmsplit.messages.catalogue import MessageText
from filmsplit.procedures.procedure import Procedure
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

_BLANK = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True, kw_only=True)
class MessagePage:
    """A message: what it says, why that matters, what to do. Words filled in when it is said stand in dots."""

    template: ClassVar[str] = "message.html"
    place: ClassVar[str] = "words"

    slug: str
    severity: str
    what: str
    why: str
    remedy: str

    @property
    def title(self) -> str:
        return label("web_find.message", slug=self.slug)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedurePage:
    """A procedure for one unit; ``procedure`` is ``None`` while the shop has no press. ``others``: units to choose."""

    template: ClassVar[str] = "procedure.html"
    place: ClassVar[str] = ""

    procedure: Procedure | None
    chosen: str
    others: tuple[tuple[str, str], ...]

    @property
    def title(self) -> str:
        return self.procedure.title if self.procedure is not None else label("web_find.procedure")


@router.get("/messages/{slug}")
def message(request: Request, slug: str) -> Response:
    """One message of the catalogue."""
    text = message_meant(slug)
    return bench_of(request).show(request, _message(slug, text))


def _message(slug: str, text: MessageText) -> MessagePage:
    parts = {name: _BLANK.sub(r"‹\1›", getattr(text, name)) for name in ("what", "why", "remedy")}
    return MessagePage(slug=slug, severity=label(f"severity.{text.severity}"), **parts)


@router.get("/procedures/{id}")
def procedure(request: Request, id: str, *, at: str = "") -> Response:
    """A procedure for the unit chosen (``press/unit``), or for the first of the shop."""
    shop = bench_of(request).shop
    units = tuple(_units(shop))
    if at and at not in dict(units):
        raise Refusal(Problem("web-page-unknown", {"path": request.url.path}))
    chosen = at or (units[0][0] if units else "")
    found = None
    if chosen:
        name, _, unit = chosen.partition("/")
        found = own_procedure_for(str(kept_press(shop, name).path), id=id, unit=unit)
    return bench_of(request).show(request, ProcedurePage(procedure=found, chosen=chosen, others=units))


def _units(shop: Shop) -> list[tuple[str, str]]:
    return [
        (f"{kept.name}/{unit.id}", f"{kept.press.name or kept.press.id}, {unit.id}")
        for kept in kept_presses(shop)
        if kept.press is not None
        for unit in kept.press.units
    ]
