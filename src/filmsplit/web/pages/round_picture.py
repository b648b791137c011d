"""A stripe read from pictures that the tablet takes: shown with its edges, and asked before anything is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from threading import BoundedSemaphore
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.round_at_press import RoundNow, round_now
from filmsplit.actions.round_picture import PictureSeen, look_at_pictures
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.kinds import ACROSS_3
from filmsplit.web.addresses import reading_address, round_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import brought, ours
from filmsplit.web.look import look_of
from filmsplit.web.pages.round_contact import warmth_now
from filmsplit.web.pages.rounds import new_key
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

AT_ONCE = BoundedSemaphore(1)
"""Pictures are read one form at a time: each takes a processor and much memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturePage:
    """What the pictures tell; ``seen`` is ``None`` where they could not be read, and ``problems`` say why."""

    template: ClassVar[str] = "round_picture.html"
    place: ClassVar[str] = "rounds"

    contact: str
    back: str
    seen: PictureSeen | None
    widths: tuple[tuple[str, float, float], ...]
    warmth_given: str
    problems: tuple[Problem, ...]
    key: str

    @property
    def title(self) -> str:
        return label("web_picture.title" if self.seen is not None else "web_picture.unread", contact=self.contact)


@router.get("/rounds/{number}/contact/{a}/{b}/picture")
def back(number: int, a: str, *, b: str) -> Response:
    """Pictures are not kept, so there is nothing to come back to: the contact instead."""
    return RedirectResponse(reading_address(number, contact=f"{a}/{b}"), 303)


@router.post("/rounds/{number}/contact/{a}/{b}/picture", dependencies=[Depends(ours)])
def read(
    request: Request, number: int, *, a: str, b: str, files: Annotated[tuple[UploadFile, ...], Depends(brought)]
) -> Response:
    """Read the pictures and ask. Nothing is on record after it, and nothing of the pictures is kept."""
    shop = bench_of(request).shop
    now = round_now(shop, number, book=book_of(shop))
    at = now.contact(f"{a}/{b}")
    if now.round.ended or now.shut:
        return RedirectResponse(f"{round_address(number, part='gate')}?contact={at.contact.id}", 303)
    seen, problems = None, tuple[Problem, ...]()
    try:
        with AT_ONCE:
            seen = look_at_pictures([each.file for each in files])
    except Refusal as refusal:
        problems = refusal.problems
    page = _page(request, now, contact=at.contact.id, seen=seen, problems=problems)
    return bench_of(request).show(request, page, status=422 if problems else 200)


def _page(
    request: Request, now: RoundNow, *, contact: str, seen: PictureSeen | None, problems: tuple[Problem, ...]
) -> PicturePage:
    told = None if seen is None else seen.widths
    return PicturePage(
        contact=contact,
        back=reading_address(now.round.number, contact=contact),
        seen=seen,
        widths=() if told is None else tuple(zip(ACROSS_3, told.widths_mm, told.uncertainties_mm, strict=True)),
        warmth_given=warmth_now(now, look_of(request)),
        problems=(*problems, *(() if seen is None else seen.unread)),
        key=new_key(),
    )
