"""Fountain solution: every press in a line, and one press with its verdict, its trend and its samples."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.shop import kept_press, kept_presses
from filmsplit.actions.solution import PressSolution, solution_of, solutions_in
from filmsplit.actions.solution_pictures import line_picture, rises_picture
from filmsplit.actions.solution_words import line_words, place_words, rise_words, state_rows
from filmsplit.condition.solution import Sample
from filmsplit.condition.verdict import Finding
from filmsplit.figures.drawing import Drawing
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press
from filmsplit.web.addresses import press_address, solution_address
from filmsplit.web.clock import book_of
from filmsplit.web.look import Look, look_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

MOST_SAMPLES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class PressLine:
    """The solution of a press in one line."""

    name: str
    address: str
    verdict: str
    rise: str
    last: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionsPage:
    """Every press of the shop."""

    template: ClassVar[str] = "solutions.html"
    place: ClassVar[str] = "presses"

    presses: tuple[PressLine, ...]

    @property
    def title(self) -> str:
        return label("web_solution.title")


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleLine:
    """A sample as it is shown; ``undo`` leads to where it is struck out."""

    sample: Sample
    where: str
    undo: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing by its address, in words, and its size in millimetres of paper."""

    address: str
    alt: str
    size: tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionPage:
    """The solution of one press: ``verdict`` is a word, ``just`` what was put on record a moment ago."""

    template: ClassVar[str] = "solution.html"
    place: ClassVar[str] = "presses"

    press: str
    back: str
    here: str
    verdict: str
    findings: tuple[Finding, ...]
    rows: tuple[tuple[str, str], ...]
    line: str
    trend: Picture | None
    titration: Picture | None
    samples: tuple[SampleLine, ...]
    just: str
    procedure: str

    @property
    def title(self) -> str:
        return label("web_solution.of", press=self.press)


@router.get("/solution")
def every(request: Request) -> Response:
    """The solution of every press."""
    shop, look = bench_of(request).shop, look_of(request)
    found = solutions_in(kept_presses(shop), book=book_of(shop), written=look.conductivities)
    page = SolutionsPage(presses=tuple(_line(kept.name, each, look=look) for kept, each in found))
    return bench_of(request).show(request, page)


@router.get("/solution/{name}")
def one(request: Request, name: str, *, just: str = "") -> Response:
    """The solution of one press."""
    shop, look = bench_of(request).shop, look_of(request)
    found = solution_of(press_of(request, name), book=book_of(shop), written=look.conductivities)
    return bench_of(request).show(request, _page(name, found, look=look, just=just))


@router.get("/solution/{name}/trend.svg")
def trend(request: Request, name: str) -> Response:
    """How far conductivity has risen over the fresh batches."""
    return _drawn(request, rises_picture(_found(request, name), written=look_of(request).conductivities))


@router.get("/solution/{name}/line.svg")
def titration(request: Request, name: str) -> Response:
    """The titration line with the dose of the fresh batch."""
    return _drawn(request, line_picture(_found(request, name), written=look_of(request).conductivities))


def press_of(request: Request, name: str) -> Press:
    """The press of that name; :class:`Refusal` where there is none, or its file cannot be used."""
    kept = kept_press(bench_of(request).shop, name)
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept.press


def _found(request: Request, name: str) -> PressSolution:
    return solution_of(press_of(request, name), book=book_of(bench_of(request).shop))


def _drawn(request: Request, drawing: Drawing | None) -> Response:
    if drawing is None:
        raise Refusal(Problem("web-page-unknown", {"path": request.url.path[:120]}))
    return Response(drawing.svg, media_type="image/svg+xml")


def _line(name: str, found: PressSolution, *, look: Look) -> PressLine:
    last = found.judged.last
    newest = last.now if last else found.judged.fresh
    return PressLine(
        name=found.press.name or found.press.id,
        address=solution_address(name),
        verdict=_verdict(found),
        rise="" if last is None else rise_words(last, look.conductivities),
        last="" if newest is None else f"{newest.day.isoformat()}, {place_words(newest)}",
    )


def _verdict(found: PressSolution) -> str:
    return "none" if found.judged.verdict is None else found.judged.verdict.value


def _page(name: str, found: PressSolution, *, look: Look, just: str) -> SolutionPage:
    judged, written = found.judged, look.conductivities
    trend, line = rises_picture(found, written=written), line_picture(found, written=written)
    newest = found.samples[-1] if found.samples else None
    return SolutionPage(
        press=found.press.name or found.press.id,
        back=press_address(name, found.press.units[0].id),
        here=solution_address(name),
        verdict=_verdict(found),
        findings=judged.findings,
        rows=state_rows(found, written=written)[1:],
        line="" if judged.line is None else line_words(judged.line, written=written),
        trend=_picture(trend, solution_address(name, part="trend.svg")),
        titration=_picture(line, solution_address(name, part="line.svg")),
        samples=tuple(_sample_line(each) for each in reversed(found.samples[-MOST_SAMPLES:])),
        just=place_words(newest) if newest is not None and just == str(newest.number) else "",
        procedure=f"/procedures/sample-solution?at={name}/{found.press.units[0].id}",
    )


def _picture(drawing: Drawing | None, address: str) -> Picture | None:
    if drawing is None:
        return None
    return Picture(address=address, alt=drawing.alt, size=(round(drawing.width_mm), round(drawing.height_mm)))


def _sample_line(sample: Sample) -> SampleLine:
    return SampleLine(sample=sample, where=place_words(sample), undo=f"/history/sample/{sample.number}/undo")
