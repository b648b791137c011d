"""Find anything by a word or by another name of it: on every page, in its head."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.search import LONGEST, Hit, Kind, as_meant, look_for
from filmsplit.messages import label
from filmsplit.web.addresses import (
    job_address,
    message_address,
    place_address,
    press_address,
    procedure_address,
    roller_address,
    word_address,
)
from filmsplit.web.clock import book_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

_BLANK = re.compile(r"\{(\w+)\}")

TASKS: Mapping[str, str] = {
    "set_job": "/jobs",
    "log_job": "/jobs",
    "correct_job": "/jobs",
    "bring_files": "/jobs/files",
    "record_round": "/rounds",
    "presses": "/presses",
    "due": "/due",
    "solution": "/solution",
    "register": "/rollers",
    "undo": "/history",
    "export": "/history",
    "words": "/words",
    "display": "/look",
}
"""What a person wants to do, and the page where it is done. Each has its label and what else it is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing found: its page, its name, a line about it, and how the word led there where it did not itself."""

    address: str
    name: str
    about: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What was found of one kind; ``more`` is said where not all of it is shown."""

    kind: str
    heading: str
    rows: tuple[Row, ...]
    more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindPage:
    """Everything found by kind."""

    template: ClassVar[str] = "find.html"
    place: ClassVar[str] = ""

    asked: str
    groups: tuple[Group, ...]
    count: int

    @property
    def title(self) -> str:
        return label("web_find.title", asked=self.asked) if self.asked else label("web_find.find")


@router.get("/find")
def find(request: Request, asked: Annotated[str, Query(alias="for")] = "") -> Response:
    """What is called so, wherever it is."""
    asked = asked.strip()[:LONGEST]
    shop = bench_of(request).shop
    found = [
        *_tasks(asked),
        *(
            _group(each.kind.value, each.hits, asked=asked, more=each.more)
            for each in look_for(shop, asked, book=book_of(shop))
        ),
    ]
    page = FindPage(asked=asked, groups=tuple(found), count=sum(len(each.rows) for each in found))
    return bench_of(request).show(request, page)


def _tasks(asked: str) -> Iterator[Group]:
    said = as_meant(asked)
    rows = []
    for task, address in TASKS.items():
        name = label(f"web_find_task.{task}")
        by = said.found_in(name + " " + label(f"web_find_also.{task}")) if said.parts else None
        if by is not None:
            rows.append(Row(address=address, name=name, about="", by=_by(asked, by)))
    if rows:
        yield Group(kind="task", heading=label("web_find_kind.task"), rows=tuple(rows), more="")


def _group(kind: str, hits: tuple[Hit, ...], *, asked: str, more: int) -> Group:
    rows = (Row(address=_address(each), name=each.name, about=_about(each), by=_by(asked, each.by)) for each in hits)
    return Group(
        kind=kind,
        heading=label(f"web_find_kind.{kind}"),
        rows=tuple(rows),
        more=label("web_find.more", count=more) if more else "",
    )


def _about(hit: Hit) -> str:
    """The line about a hit; in a message, what is filled in when it is said stands in angle marks."""
    return _BLANK.sub(r"‹\1›", hit.about) if hit.kind is Kind.MESSAGE else hit.about


def _by(asked: str, by: str) -> str:
    return label("web_find.by", asked=asked, by=by) if by else ""


def _address(hit: Hit) -> str:
    match hit.kind, hit.at:
        case Kind.PLACE, (press,):
            return press_address(press)
        case Kind.PLACE, (press, unit, roller):
            return place_address(press, unit, roller=roller)
    alone = {
        Kind.ROLLER: roller_address,
        Kind.JOB: job_address,
        Kind.WORD: word_address,
        Kind.PROCEDURE: procedure_address,
        Kind.MESSAGE: message_address,
    }
    return alone[hit.kind](hit.at[0])
