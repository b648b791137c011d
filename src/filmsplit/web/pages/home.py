"""Today: the presses, what is out of limits or overdue, the last jobs, and three things to do now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.background import BackgroundTask
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.register import Daybook
from filmsplit.actions.today import PressToday, Reason, Today, ToDo, today_in
from filmsplit.condition.verdict import Verdict
from filmsplit.messages import label
from filmsplit.records.jobs import JobRecord
from filmsplit.web.addresses import press_address, roller_address, solution_address
from filmsplit.web.clock import book_of
from filmsplit.web.later_pages import load
from filmsplit.web.look import look_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


_WHY = {
    Reason.MEND_FILE: "web_reason.file",
    Reason.REGISTER: "web_reason.register",
    Reason.UNREAD: "web_reason.unread",
    Reason.SAMPLE: "web_reason.sample",
}
"""Reasons that say it all by themselves; the others come with a finding or a date."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing to do: what, why, and where to go for it."""

    what: str
    why: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PressLine:
    """A press of the shop in one line."""

    name: str
    address: str
    state: str
    invented: bool
    usable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePage:
    """What the first page shows. Nothing at all is on it in an empty shop but what to do about that."""

    template: ClassVar[str] = "home.html"
    place: ClassVar[str] = "today"

    day: str
    to_do: tuple[Line, ...]
    presses: tuple[PressLine, ...]
    jobs: tuple[JobRecord, ...]

    @property
    def title(self) -> str:
        return label("web.today")


@router.get("/")
def home(request: Request) -> Response:
    """The first page. While it is read, the others are made ready."""
    bench = bench_of(request)
    book = book_of(bench.shop)
    shown = bench.show(
        request, home_page(today_in(bench.shop, book=book, written=look_of(request).conductivities), book=book)
    )
    shown.background = BackgroundTask(load)
    return shown


def home_page(today: Today, *, book: Daybook) -> HomePage:
    """What is known today as a page."""
    return HomePage(
        day=book.day.isoformat(),
        to_do=tuple(_line(each) for each in today.to_do),
        presses=tuple(_press_line(each) for each in today.presses),
        jobs=today.jobs,
    )


def _line(todo: ToDo) -> Line:
    values = {"press": todo.press, "roller": todo.roller, "task": _task(todo), "count": todo.rollers}
    what = label(f"web_to_do.{todo.reason.value}", **values)
    return Line(what=what, why=_why(todo), address=_address(todo))


def _task(todo: ToDo) -> str:
    return "" if todo.due is None else label(f"web_task.{todo.due.task.name.lower()}")


def _why(todo: ToDo) -> str:
    if todo.finding is not None:
        return todo.finding.problem.what
    if todo.due is not None and todo.due.on is not None:
        return label("web.due_since", day=todo.due.on.isoformat(), rollers=", ".join(todo.due.rollers))
    return label(_WHY[todo.reason])


def _address(todo: ToDo) -> str:
    if todo.reason in (Reason.SOLUTION, Reason.SAMPLE):
        return solution_address(todo.press)
    return roller_address(todo.roller) if todo.roller else press_address(todo.press)


def _press_line(press: PressToday) -> PressLine:
    kept = press.kept
    return PressLine(
        name=kept.press.name if kept.press is not None else kept.name,
        address=press_address(kept.name),
        state=_state(press),
        invented=kept.press is not None and kept.press.invented,
        usable=kept.press is not None,
    )


def _state(press: PressToday) -> str:
    if press.kept.press is None:
        return label("web.press_unusable")
    if not press.verdicts:
        return label("web.press_unregistered")
    counts = {verdict: press.count(verdict) for verdict in Verdict}
    words = [label(f"web_count.{verdict.value}", count=count) for verdict, count in counts.items() if count]
    overdue = [label("web_count.overdue", count=len(press.overdue))] if press.overdue else []
    return ", ".join([*reversed(words), *overdue])
