"""The page on which somebody waits for what takes longer than a moment: what is done now, and a way to call it off.

It stands at the address of what is waited for, and looks there again by itself, with its script or without.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends, Path
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from filmsplit.messages import label
from filmsplit.web.desks import call_off, doing_of
from filmsplit.web.forms import filled, ours
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

TICKET = r"^[0-9a-f]{16}$"
BACK = re.compile(r"/(jobs|presses)([/?#][^\\\s]*)?")
"""Where a wait that is called off leads back to: pages of the workbench it came from, and nothing else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """What is waited for: a word of the labels (``set``, ``foreseen``), the job or press it is of, and where somebody
    goes who calls it off."""

    what: str
    of: str
    back: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitPage:
    """What is done now for the page of this address."""

    template: ClassVar[str] = "waiting.html"

    place: str
    title: str
    lead: str
    stage: str
    ticket: str
    back: str


def wait_page(request: Request, *, ticket: str, stage: str, waits: Waits) -> Response:
    """The page on which something is waited for."""
    place = "presses" if waits.back.startswith("/presses") else "jobs"
    page = WaitPage(
        place=place,
        title=label(f"web_wait_title.{waits.what}", of=waits.of or label("web_set.untitled")),
        lead=label(f"web_wait_lead.{waits.what}"),
        stage=stage,
        ticket=ticket,
        back=waits.back,
    )
    return bench_of(request).show(request, page)


@router.get("/waiting/{ticket}")
def stage_now(ticket: Annotated[str, Path(pattern=TICKET)]) -> Response:
    """What is done now, as JSON for the page on which somebody waits. Begins nothing.

    What nobody knows any more is over; what never was a ticket is refused.
    """
    doing = doing_of(ticket)
    if doing is None or doing.over.is_set():
        return JSONResponse({"over": True, "words": ""})
    return JSONResponse({"over": False, "words": doing.stage})


@router.post("/waiting/cancel", dependencies=[Depends(ours)])
def cancel(*, given: Annotated[Mapping[str, str], Depends(filled)]) -> Response:
    """Call off what is being done, and go back to where it was asked for, with all that was filled in."""
    call_off(given.get("ticket", ""))
    back = given.get("back", "")
    return RedirectResponse(back if BACK.fullmatch(back) else "/", 303)
