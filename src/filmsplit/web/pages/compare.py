"""Presses side by side: counts, lengths and areas, what the counts stand for, and which rollers fit where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.compare import Characters, Compared, compare_presses
from filmsplit.actions.compare_words import cell_said, definitions, figure_names, figures_said, interchange_lines
from filmsplit.actions.shop import kept_press, kept_presses
from filmsplit.messages import Problem, Refusal, label, numbers_read, unit_read
from filmsplit.web.addresses import compare_address, press_address
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

MOST_PRESSES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One fact of every press; whether they differ in it."""

    name: str
    cells: tuple[str, ...]
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparePage:
    """The presses as columns. ``figures`` are empty and ``ask`` leads to them until they are asked for."""

    template: ClassVar[str] = "compare.html"
    place: ClassVar[str] = "presses"

    presses: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    figures: tuple[Row, ...]
    definitions: tuple[str, ...]
    interchange: tuple[str, ...]
    problems: tuple[Problem, ...]
    ask: str

    @property
    def title(self) -> str:
        return label("web_compare.title")


@router.get("/presses/compare")
def compared(
    request: Request,
    *,
    chosen: Annotated[list[str] | None, Query(alias="with", max_length=MOST_PRESSES)] = None,
    ink: str = "",
) -> Response:
    """The presses chosen; all of the shop that can be used where none was."""
    bench = bench_of(request)
    names = list(dict.fromkeys(chosen or [each.name for each in kept_presses(bench.shop) if each.press is not None]))
    if len(names) < 2:
        raise Refusal(Problem("web-compare-two"))
    kept = [kept_press(bench.shop, name) for name in names]
    problems = [problem for each in kept if each.press is None for problem in each.problems]
    if problems:
        raise Refusal(problems)
    found = compare_presses([str(each.path) for each in kept], ink=bool(ink))
    return bench.show(request, _page(found, names))


def _page(found: Compared, names: list[str]) -> ComparePage:
    table, characters = found.comparison, found.characters
    titles = [name or id for id, name in zip(table.ids, table.names, strict=True)]
    return ComparePage(
        presses=tuple((title, press_address(name)) for title, name in zip(titles, names, strict=True)),
        rows=tuple(
            Row(
                name=f"{label(row.label_key)} {unit_read(row.unit)}".rstrip(),
                cells=tuple(numbers_read(cell_said(each), row.unit) for each in row.cells),
                differs=row.differs,
            )
            for row in table.rows
        ),
        figures=() if characters is None else _figures(characters),
        definitions=() if characters is None else tuple(definitions(characters)),
        interchange=tuple(interchange_lines(found.interchange)),
        problems=() if characters is None else _problems(characters),
        ask=compare_address(names, ink=True),
    )


def _figures(characters: Characters) -> tuple[Row, ...]:
    rows = []
    for name, unit in figure_names(characters).items():
        cells = tuple(numbers_read(figures_said(press, name), unit) for press in characters.presses)
        called = f"{label(f'character.{name}')} {unit_read(unit)}".rstrip()
        rows.append(Row(name=called, cells=cells, differs=len(set(cells)) > 1))
    return tuple(rows)


def _problems(characters: Characters) -> tuple[Problem, ...]:
    return tuple(problem for press in characters.presses for unit in press.units for problem in unit.problems)
