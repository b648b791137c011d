"""A new press of the shop: empty with what must be said, or a copy of one that is there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.press_changes import MOST_BYTES, bring_in, start
from filmsplit.actions.shop import kept_presses
from filmsplit.library.workshop import demo_presses
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press.words import TurnSense
from filmsplit.web.addresses import edit_address
from filmsplit.web.forms import brought, ours
from filmsplit.web.job_fields import bounded
from filmsplit.web.owner import owner_only
from filmsplit.web.pages.rounds import Sent
from filmsplit.web.render import Bench, bench_of
from filmsplit.web.shop_mode.visitor import visitor_of

router = APIRouter(include_in_schema=False, dependencies=[Depends(owner_only)])
Brought = Annotated[tuple[UploadFile, ...], Depends(brought)]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPage:
    """The form of a new press, with what was filled in and what is wrong with it, by field."""

    template: ClassVar[str] = "press_new.html"
    place: ClassVar[str] = "presses"

    sent: Mapping[str, str]
    turns: tuple[tuple[str, str], ...]
    likes: tuple[tuple[str, str], ...]
    beside_of: Mapping[str, tuple[Problem, ...]]
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web_edit.new_title")


@router.get("/presses/new")
def new(request: Request) -> Response:
    """The form."""
    bench = bench_of(request)
    return bench.show(request, _page(bench, {}))


@router.post("/presses/new", dependencies=[Depends(ours)])
def begin(request: Request, *, sent: Sent) -> Response:
    """Write the file of the new press and go on with describing it; or say what keeps it from being written."""
    bench, told = bench_of(request), bounded(sent)
    try:
        code = start(
            bench.shop,
            told.get("code", ""),
            name=told.get("name", ""),
            plate_turns=told.get("plate_turns", ""),
            like=told.get("like", ""),
        )
    except Refusal as refusal:
        return bench.show(request, _page(bench, told, problems=refusal.problems), status=422)
    return RedirectResponse(edit_address(code), 303)


@router.post("/presses/import", dependencies=[Depends(ours)])
def bring(request: Request, *, sent: Sent, files: Brought) -> Response:
    """Take a press file that somebody brought into the shop; or say everything that keeps it out."""
    bench, told = bench_of(request), bounded(sent)
    try:
        if len(files) != 1:
            raise Refusal(Problem("press-none-brought"))
        data = files[0].file.read(MOST_BYTES + 1)
        code = bring_in(bench.shop, data, code=told.get("code", ""), person=visitor_of(request).name)
    except Refusal as refusal:
        return bench.show(request, _page(bench, told, problems=refusal.problems), status=422)
    return RedirectResponse(edit_address(code), 303)


def _page(bench: Bench, sent: Mapping[str, str], *, problems: tuple[Problem, ...] = ()) -> NewPage:
    kept = kept_presses(bench.shop)
    there = tuple((each.name, each.press.name or each.name if each.press is not None else each.name) for each in kept)
    demo = tuple((name, label("web_edit.like_demo", name=name)) for name in demo_presses() if name not in dict(there))
    fields = ("code", "plate_turns")
    return NewPage(
        sent={"code": "", "name": "", "plate_turns": "", "like": "", **sent},
        turns=tuple((each.value, label(f"web_edit_turns.{each.value}")) for each in TurnSense),
        likes=(*there, *demo),
        beside_of={name: tuple(each for each in problems if each.path == (name,)) for name in fields},
        problems=tuple(each for each in problems if each.path[:1] not in {(name,) for name in fields}),
    )
