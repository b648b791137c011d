"""History: every reading and change with who and when; a wrong one is undone by a record that strikes it out."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.history import as_csv, history_in, said_words, state_words
from filmsplit.actions.people import people
from filmsplit.actions.press_history import PressChange, press_changes
from filmsplit.actions.record_files import export
from filmsplit.actions.shop import kept_presses
from filmsplit.actions.undo import Undoable, Undoing, line_to_undo
from filmsplit.actions.undo import undo as undo_line
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.history import Line, Wanted
from filmsplit.web.addresses import edit_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.look import Look, look_of
from filmsplit.web.pages.rounds import Sent, new_key
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.people import Role
from filmsplit.web.shop_mode.visitor import person_of, visitor_of

router = APIRouter(include_in_schema=False)

ASKED = ("press", "kind", "person", "roller", "since", "until")
LONGEST = 60
MOST_IN_FILE = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    """A line as it is shown. ``undo`` leads to where it is struck out; empty where it cannot be."""

    at: str
    line: Line
    kind: str
    said: str
    state: str
    undo: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryPage:
    """The lines wanted, and what there is to choose them by. ``older`` leads to the next ones, if there are any.

    ``described`` are changes of press files, which have a history and an undoing of their own, and where that is.
    """

    template: ClassVar[str] = "history.html"
    place: ClassVar[str] = "history"

    lines: tuple[HistoryLine, ...]
    asked: Mapping[str, str]
    presses: tuple[str, ...]
    kinds: tuple[str, ...]
    people: tuple[str, ...]
    older: str
    table: str
    described: tuple[tuple[PressChange, str], ...]

    @property
    def title(self) -> str:
        return label("web.history")


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoPage:
    """One line, before it is undone."""

    template: ClassVar[str] = "undo.html"
    place: ClassVar[str] = "history"

    shown: HistoryLine
    people: tuple[str, ...]
    problems: tuple[Problem, ...]
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_history.undo_title", number=self.shown.line.number, kind=self.shown.kind)


@router.get("/history")
def history(request: Request) -> Response:
    """What was put on record, the newest first."""
    shop = bench_of(request).shop
    asked, wanted = _asked(request.query_params), _wanted(request.query_params)
    found = history_in(wanted, book=book_of(shop))
    there = {key: value for key, value in asked.items() if value}
    older = urlencode(there | {"skip": str(wanted.skip + wanted.most)}) if len(found.lines) == wanted.most else ""
    page = HistoryPage(
        lines=tuple(_shown(each, look=look_of(request)) for each in found.lines),
        asked=asked,
        presses=tuple(kept.press.id for kept in kept_presses(shop) if kept.press is not None),
        kinds=found.kinds,
        people=found.people,
        older=f"/history?{older}" if older else "",
        table=f"/history.csv?{urlencode(there)}",
        described=tuple((each, _described_at(request, each)) for each in press_changes(shop, wanted)),
    )
    return bench_of(request).show(request, page)


@router.get("/history.csv")
def table(request: Request) -> Response:
    """The lines wanted as a table for a spreadsheet."""
    wanted = _wanted(request.query_params, most=MOST_IN_FILE)
    lines = history_in(wanted, book=book_of(bench_of(request).shop)).lines
    return _file(as_csv(lines).encode("utf-8-sig"), name="history.csv", kind="text/csv; charset=utf-8")


@router.get("/history/records.json")
def everything(request: Request) -> Response:
    """Everything on record, as it can be read in again."""
    with tempfile.TemporaryDirectory() as folder:
        to = Path(folder) / "records.json"
        export(to, book=book_of(bench_of(request).shop))
        return _file(to.read_bytes(), name="records.json", kind="application/json")


@router.get("/history/{number}/undo")
def ask(request: Request, number: int) -> Response:
    """Ask before an entry is struck out."""
    return _show_undo(request, number, kind=Undoable.ENTRY, sent={})


@router.post("/history/{number}/undo", dependencies=[Depends(ours)])
def undo(request: Request, number: int, *, sent: Sent) -> Response:
    """Strike an entry out."""
    return _undo(request, number, kind=Undoable.ENTRY, sent=sent)


@router.get("/history/{kind}/{number}/undo")
def ask_other(request: Request, kind: Undoable, *, number: int) -> Response:
    """Ask before anything but an entry is undone."""
    return _show_undo(request, number, kind=kind, sent={})


@router.post("/history/{kind}/{number}/undo", dependencies=[Depends(ours)])
def undo_other(request: Request, kind: Undoable, *, number: int, sent: Sent) -> Response:
    """Undo a job, a move, a calibration, a sample or bands."""
    return _undo(request, number, kind=kind, sent=sent)


def _undo(request: Request, number: int, *, kind: Undoable, sent: Mapping[str, str]) -> Response:
    reason = sent.get("reason", "").strip()[:200]
    person = person_of(request, sent.get("name", "").strip()[:LONGEST] or sent.get("known", "")[:LONGEST])
    undoing = Undoing(person=person, reason=reason, key=sent.get("key", ""))
    try:
        undo_line(kind, number, undoing=undoing, book=book_of(bench_of(request).shop))
    except Refusal as refusal:
        return _show_undo(request, number, kind=kind, sent=sent, problems=refusal.problems)
    return RedirectResponse("/history", 303)


def _show_undo(
    request: Request, number: int, *, kind: Undoable, sent: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> Response:
    book = book_of(bench_of(request).shop)
    page = UndoPage(
        shown=_shown(line_to_undo(kind, number, book=book), look=look_of(request)),
        people=people(book),
        problems=problems,
        sent=sent,
        key=new_key(),
    )
    return bench_of(request).show(request, page, status=422 if problems else 200)


def _shown(line: Line, *, look: Look) -> HistoryLine:
    own = line.source == "entry"
    return HistoryLine(
        at=line.at.strftime("%Y-%m-%d %H:%M"),
        line=line,
        kind=line.kind if own else label(f"history_kind.{line.kind}"),
        said=said_words(line, lengths=look.lengths, temperatures=look.temperatures, conductivities=look.conductivities),
        state=state_words(line),
        undo=_undo_address(line) if line.counts else "",
    )


def _described_at(request: Request, change: PressChange) -> str:
    """Where a change of a press file is undone: for the owner alone."""
    return f"{edit_address(change.name)}#changes" if visitor_of(request).role is Role.OWNER else ""


def _undo_address(line: Line) -> str:
    """Where a line is undone; nowhere for steps of rounds, whose readings have lines of their own."""
    if line.source == Undoable.ENTRY.value:
        return f"/history/{line.number}/undo"
    return f"/history/{line.source}/{line.number}/undo" if line.source in {each.value for each in Undoable} else ""


def _asked(given: Mapping[str, str]) -> dict[str, str]:
    return {name: given.get(name, "").strip()[:LONGEST] for name in ASKED}


def _wanted(given: Mapping[str, str], *, most: int = 200) -> Wanted:
    asked = _asked(given)
    for name in ("since", "until"):
        try:
            asked[name] = date.fromisoformat(asked[name]).isoformat() if asked[name] else ""
        except ValueError as error:
            raise Refusal(Problem("history-day-unclear", {"given": asked[name]})) from error
    skip = given.get("skip", "")
    return Wanted(**asked, skip=min(int(skip), MOST_IN_FILE) if re.fullmatch("[0-9]{1,9}", skip) else 0, most=most)


def _file(content: bytes, *, name: str, kind: str) -> Response:
    return Response(content, media_type=kind, headers={"content-disposition": f'attachment; filename="{name}"'})
