"""What lies ahead: every task that is due, the plan of the year with what to ask for, and what to keep on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.care_spares import Spares
from filmsplit.actions.shop import kept_presses
from filmsplit.actions.shop_care import ShopCare, registered_presses, shop_care
from filmsplit.actions.solution_due import SolutionState, solution_states
from filmsplit.actions.year_plan import YearPlan, year_plan
from filmsplit.actions.year_plan_paper import (
    cover_rows,
    month_rows,
    price_rows,
    sum_rows,
    without_words,
    write_year_plan,
)
from filmsplit.condition.due import DueTask
from filmsplit.messages import Problem, Refusal, label
from filmsplit.reports.typeset import Paper
from filmsplit.web.addresses import roller_address, solution_address
from filmsplit.web.clock import book_of
from filmsplit.web.paper import pdf_answer
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """A task of a press: when it was done last, when it is due, by which clock, and the rollers that wait longest."""

    task: str
    last: str
    due: str
    overdue: bool
    clock: str
    rollers: Pairs


@dataclass(frozen=True, slots=True, kw_only=True)
class YearAhead:
    """The plan of the year in words, as on its paper."""

    span: str
    sums: Pairs
    covers: tuple[tuple[str, ...], ...]
    without: str
    months: tuple[tuple[str, Pairs], ...]
    prices: Pairs


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """Rollers that take each other's place, and how many of them to keep."""

    rollers: str
    stock: int
    expected: str
    point: int
    order: int
    order_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionLine:
    """The fountain solution of a press: its verdict, whether a sample is due, and where to go."""

    press: str
    address: str
    verdict: str
    due: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePage:
    """Tasks by press, the year, the shelf; ``year`` is ``None`` where no roller is on the register."""

    template: ClassVar[str] = "due.html"
    place: ClassVar[str] = "rollers"

    day: str
    presses: tuple[tuple[str, tuple[TaskLine, ...]], ...]
    year: YearAhead | None
    shelf: tuple[ShelfLine, ...]
    lead_assumed: bool
    lasting: str
    solutions: tuple[SolutionLine, ...]

    @property
    def title(self) -> str:
        return label("web_due.title")


@router.get("/due")
def due(request: Request) -> Response:
    """What lies ahead in the whole shop."""
    bench = bench_of(request)
    book = book_of(bench.shop)
    solutions = tuple(map(_solution, solution_states(kept_presses(bench.shop), book=book)))
    page = due_page(shop_care(bench.shop, book=book), today=book.day, solutions=solutions)
    return bench.show(request, page)


@router.get("/due/year.pdf")
def year_paper(request: Request) -> Response:
    """The plan of the year with its budget request, to print."""
    shop = bench_of(request).shop
    book = book_of(shop)
    files = [str(each.path) for each in registered_presses(shop, book=book)]
    if not files:
        raise Refusal(Problem("care-no-rollers", {"press": "-"}))
    plan = year_plan(files, book=book)
    return pdf_answer(lambda to: write_year_plan(plan, to, paper=Paper.A4), name="year")


def due_page(care: ShopCare, *, today: date, solutions: tuple[SolutionLine, ...]) -> DuePage:
    """What is known as a page."""
    lasting = [mark for each in care.shelf for mark in each.plan.without_forecast]
    return DuePage(
        day=today.isoformat(),
        presses=tuple(
            (kept.name if kept.press is None else kept.press.name, tuple(_task(each, today) for each in tasks))
            for kept, tasks in care.due
        ),
        year=None if care.plan is None else _year(care.plan),
        shelf=tuple(map(_shelf, care.shelf)),
        lead_assumed=any(each.lead_assumed for each in care.shelf),
        lasting=", ".join(lasting),
        solutions=solutions,
    )


def _solution(state: SolutionState) -> SolutionLine:
    kept, judged = state.kept, state.judged
    return SolutionLine(
        press=kept.press.name if kept.press is not None and kept.press.name else kept.name,
        address=solution_address(kept.name),
        verdict=label(f"solution_verdict.{'none' if judged.verdict is None else judged.verdict.value}"),
        due=state.sample_due,
    )


def _task(task: DueTask, today: date) -> TaskLine:
    late = task.overdue_days(today)
    overdue = late is None or late > 0
    if task.on is None or late is None:
        due_words = label("web_due.now")
    else:
        due_words = label("web_due.late", day=task.on.isoformat(), days=late) if overdue else task.on.isoformat()
    return TaskLine(
        task=label(f"web_task.{task.task.name.lower()}"),
        last=label("care.never") if task.last is None else task.last.isoformat(),
        due=due_words,
        overdue=overdue,
        clock=task.clock,
        rollers=tuple((mark, roller_address(mark)) for mark in task.rollers),
    )


def _year(plan: YearPlan) -> YearAhead:
    return YearAhead(
        span=label("year_plan.span", begin=plan.begin.isoformat(), end=plan.end.isoformat()),
        sums=tuple(sum_rows(plan)),
        covers=tuple(cover_rows(plan)),
        without=without_words(plan),
        months=tuple(month_rows(plan)),
        prices=tuple(price_rows(plan.money)),
    )


def _shelf(found: Spares) -> ShelfLine:
    plan = found.plan
    nobody_knows = len(plan.without_forecast) == len(plan.group.rollers)
    later = label("care.no_forecast" if nobody_knows else "care.later")
    return ShelfLine(
        rollers=", ".join(plan.group.rollers),
        stock=plan.group.stock,
        expected=f"{plan.expected:.1f}",
        point=plan.reorder_point,
        order=plan.order,
        order_by=later if plan.order_by is None else plan.order_by.isoformat(),
    )
